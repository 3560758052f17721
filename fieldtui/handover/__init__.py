"""What is handed over: tables that other systems take, made from the logs and never a second truth.

readings, latest, things, notes   Job ──► Sheet: the rows of each table (reading_columns: what readings.csv holds)
columns                           Sheet ──► CSV text and its Table Schema
package                           sheets ──► a folder of CSV with datapackage.json
workbook                          sheets ──► a workbook
dataset                           sheets ──► a folder of Parquet
ags/                              Job ──► an AGS4 file
part                              from a day on, as of a day
placing, texts, progress          what holds for all: whole or not at all, nothing dropped, how far it is
export                            the command
"""
