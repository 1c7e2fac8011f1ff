"""Poured slabs marched abreast: what each needs is small, so that several share every step."""
