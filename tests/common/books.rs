//! Small workbooks made part by part, invented.

use std::io::Write;

/// An archive of parts.
pub(crate) fn archive(parts: &[(&str, &[u8])]) -> Vec<u8> {
    archived(parts, zip::CompressionMethod::Deflated)
}

/// An archive of parts, quickly made.
pub(crate) fn archive_stored(parts: &[(&str, &[u8])]) -> Vec<u8> {
    archived(parts, zip::CompressionMethod::Stored)
}

fn archived(parts: &[(&str, &[u8])], method: zip::CompressionMethod) -> Vec<u8> {
    let options = zip::write::SimpleFileOptions::default().compression_method(method);
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        archive.start_file(*name, options).expect("a part");
        archive.write_all(bytes).expect("its bytes");
    }
    archive.finish().expect("an archive").into_inner()
}

/// An XLSX of one sheet: what stands in `worksheet`, `styleSheet` and `sst`.
pub(crate) fn xlsx(sheet: &str, styles: &str, texts: &str) -> Vec<u8> {
    xlsx_named(r#"<sheet name="Motors" sheetId="1" r:id="rId1"/>"#, "", sheet, styles, texts)
}

/// An XLSX with a list of sheets that all are the same part.
pub(crate) fn xlsx_named(list: &str, before: &str, sheet: &str, styles: &str, texts: &str) -> Vec<u8> {
    let main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let package = "http://schemas.openxmlformats.org/package/2006";
    let content = "application/vnd.openxmlformats-officedocument.spreadsheetml";
    let relation =
        |id: &str, kind: &str, target: &str| format!(r#"<Relationship Id="{id}" Type="{office}/{kind}" Target="{target}"/>"#);
    let types = format!(
        r#"<Types xmlns="{package}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="{content}.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="{content}.worksheet+xml"/></Types>"#
    );
    let root = format!(
        r#"<Relationships xmlns="{package}/relationships">{}</Relationships>"#,
        relation("rId1", "officeDocument", "xl/workbook.xml")
    );
    let related = format!(
        r#"<Relationships xmlns="{package}/relationships">{}{}{}</Relationships>"#,
        relation("rId1", "worksheet", "worksheets/sheet1.xml"),
        relation("rId2", "styles", "styles.xml"),
        relation("rId3", "sharedStrings", "sharedStrings.xml"),
    );
    let book = format!(r#"<workbook xmlns="{main}" xmlns:r="{office}"><sheets>{list}</sheets></workbook>"#);
    archive(&[
        ("[Content_Types].xml", types.as_bytes()),
        ("_rels/.rels", root.as_bytes()),
        ("xl/workbook.xml", book.as_bytes()),
        ("xl/_rels/workbook.xml.rels", related.as_bytes()),
        ("xl/styles.xml", format!(r#"<styleSheet xmlns="{main}">{styles}</styleSheet>"#).as_bytes()),
        ("xl/sharedStrings.xml", format!(r#"{before}<sst xmlns="{main}">{texts}</sst>"#).as_bytes()),
        ("xl/worksheets/sheet1.xml", format!(r#"<worksheet xmlns="{main}">{sheet}</worksheet>"#).as_bytes()),
    ])
}

/// Rows of inline texts and numbers for an XLSX, from the first row on.
pub(crate) fn rows(rows: &[&[&str]]) -> String {
    let mut xml = String::new();
    for row in rows {
        xml.push_str("<row>");
        for cell in *row {
            match cell.parse::<f64>() {
                Ok(_) => xml.push_str(&format!("<c><v>{cell}</v></c>")),
                Err(_) => xml.push_str(&format!(r#"<c t="inlineStr"><is><t>{cell}</t></is></c>"#)),
            }
        }
        xml.push_str("</row>");
    }
    xml
}

/// An ODS: what stands in `spreadsheet` and in `automatic-styles`.
pub(crate) fn ods(tables: &str, styles: &str) -> Vec<u8> {
    ods_with("", tables, styles)
}

/// An ODS with something before its root.
pub(crate) fn ods_with(before: &str, tables: &str, styles: &str) -> Vec<u8> {
    let names = ["office", "table", "text", "style", "fo"]
        .map(|name| format!(r#" xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0""#))
        .concat();
    let content = format!(
        r#"{before}<office:document-content{names} xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"><office:automatic-styles>{styles}</office:automatic-styles><office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body></office:document-content>"#
    );
    archive(&[
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
        ("content.xml", content.as_bytes()),
        ("META-INF/manifest.xml", br#"<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"/>"#),
    ])
}

/// A cell of text in an ODS; the text may hold elements.
pub(crate) fn text(text: &str) -> String {
    format!(r#"<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>"#)
}

/// A cell with a number in an ODS.
pub(crate) fn number(number: f64) -> String {
    format!(r#"<table:table-cell office:value-type="float" office:value="{number}"><text:p>{number}</text:p></table:table-cell>"#)
}

/// A row of an ODS.
pub(crate) fn row(cells: &[String]) -> String {
    format!("<table:table-row>{}</table:table-row>", cells.concat())
}
