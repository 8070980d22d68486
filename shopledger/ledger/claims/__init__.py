"""Claim coding: which HCPCS Level II code names a charge, and where the published text leaves the owner to choose."""
