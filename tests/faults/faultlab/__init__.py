"""The bench on which the log is broken on purpose.

disk        a disk in which a failed fsync drops pages and a power cut takes what was not synced
failing     system calls of which the k-th fails
job         one sitting at the log, as a program does it, and the check that nothing acknowledged is lost
broken      the log's rules, each with a variant that breaks it
"""
