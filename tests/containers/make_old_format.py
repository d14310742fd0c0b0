"""Writes old-format.xls, an invented schedule in the old binary format (needs xlwt)."""
import datetime
import xlwt

book = xlwt.Workbook()
sheet = book.add_sheet("Motors")
struck = xlwt.easyxf("font: struck_out on")
percent = xlwt.easyxf(num_format_str="0.0%")
date = xlwt.easyxf(num_format_str="d-mmm")
plain_font, struck_font = xlwt.easyfont(""), xlwt.easyfont("struck_out on")
for column, heading in enumerate(["tag", "description", "rated_power_kw", "voltage_v", "efficiency_pct", "board"]):
    sheet.write(0, column, heading)
sheet.write(1, 0, "P-1"); sheet.write(1, 1, "Pump, raw water – ½"); sheet.write(1, 2, 7.5); sheet.write(1, 3, 400)
sheet.write(1, 4, 0.93, percent)
for column, value in enumerate(["P-2", "Deleted pump", 7.5, 400]):
    sheet.write(2, column, value, struck)
sheet.write(3, 0, "P-3"); sheet.write_rich_text(3, 2, (("7.5", struck_font), ("11", plain_font))); sheet.write(3, 3, 400)
sheet.write(4, 0, "P-4"); sheet.write_rich_text(4, 2, (("11", plain_font), ("7.5", struck_font))); sheet.write(4, 3, 400)
sheet.write(5, 0, "P-5"); sheet.write(5, 2, datetime.date(2026, 1, 2), date); sheet.write(5, 3, 400)
sheet.write(6, 0, "P-6"); sheet.write(6, 2, xlwt.Formula("2*3")); sheet.write(6, 3, 400)
sheet.write_merge(1, 3, 5, 5, "MCC-1")
sheet.row(4).hidden = True
sheet.col(1).hidden = True
old = book.add_sheet("Old")
old.write(0, 0, "x")
old.visibility = 2
book.save("old-format.xls")
