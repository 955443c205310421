"""How much one file may hold, so that no file, however made, takes the service with it."""

MEBIBYTE = 1_048_576

MOST_ROWS = 1_048_576  # what a spreadsheet has
MOST_COLUMNS = 1_000
MOST_CELLS = 20_000_000
LONGEST_LINE = MEBIBYTE  # letters of a line of text
MOST_LINES_OF_A_ROW = 100  # more are the work of a quotation mark that was never closed
MOST_TEXT = 256 * MEBIBYTE  # letters that a workbook's sheet gives in all

MOST_MEMBERS = 2_000  # files inside a workbook
LARGEST_UNPACKED_BYTES = 512 * MEBIBYTE
LARGEST_RATIO = 200  # unpacked to packed; sheets full of one number reach about 60
SMALL_UNPACKED_BYTES = 4 * MEBIBYTE  # below it the ratio does not matter
LARGEST_PART_BYTES = 16 * MEBIBYTE  # the list of sheets, the styles, the links between parts
MOST_SHEETS = 256
MOST_MERGED = 2_000

CHILD_MEMORY_BYTES = 768 * MEBIBYTE  # address space of the child that reads a workbook
CHILD_CPU_SECONDS = 120
LONGEST_SILENCE_S = 60  # without a word from the child
LARGEST_FRAME_BYTES = 32 * MEBIBYTE
CHILDREN_AT_ONCE = 4  # of one process of the service
LONGEST_QUEUE_S = 30
