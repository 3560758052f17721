"""What is handed over: tables that other systems take, made from the logs and never a second truth.

readings, things, notes   Job ──► Sheet: the rows of each table (reading_columns: what readings.csv holds)
columns                   Sheet ──► CSV text and its Table Schema
package                   sheets ──► a folder with datapackage.json, whole or not at all
export                    the command
"""
