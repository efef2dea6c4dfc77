"""What the kernel is compared with: the oracle and its pictures, cases, statistics."""
