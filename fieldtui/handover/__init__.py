"""What is handed over: tables that other systems take, made from the logs and never a second truth.

    csv     Job ──► rows of five tables ──► folder of CSV with datapackage.json (Table Schema)
"""
