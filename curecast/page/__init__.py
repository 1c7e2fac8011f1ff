"""The small page for the phone at the slab: what may be done now, and readings put down.

``make_app`` builds it, ``serve`` runs it on this computer; nothing here is loaded before.
"""
