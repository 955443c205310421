"""What every request passes before the app sees it, from outside to inside.

public_prefix (cuts it off) → request_id → watch (log and metrics) → cross_origin → for_people →
small_head → rate_limit → key_first → whole_body → names_once → admission → head → compress → keeping →
ranges → public_prefix (says it) → keep_answers → the app.
"""
