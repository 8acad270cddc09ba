"""The pedigree certificate: seen as it will be printed, written as PDF, printed, recorded."""
