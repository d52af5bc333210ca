"""The workbench's server: a typed, versioned HTTP interface on this machine, and the pages that use it."""
