"""What every request passes before the app sees it, from outside to inside.

request_id → watch (log and metrics) → small_head → rate_limit → key_first → whole_body → names_once →
admission → the app.
"""
