//! 3MF: the core specification 1.3 of the 3MF Consortium (ISO/IEC 25422). One object a body, in place, each by its name.

use std::fmt::Write;

use super::zip::zip;
use crate::gauge::Body;

const HEAD: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";

const TYPES: &str = "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">\
<Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>\
<Default Extension=\"model\" ContentType=\"application/vnd.ms-package.3dmanufacturing-3dmodel+xml\"/></Types>\n";

const LINKS: &str = "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">\
<Relationship Id=\"model\" Target=\"/3D/3dmodel.model\" \
Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/></Relationships>\n";

/// The whole file. The same bodies give the same bytes.
#[must_use]
pub fn three_mf(bodies: &[Body]) -> Vec<u8> {
    let (types, links, model) = (format!("{HEAD}{TYPES}"), format!("{HEAD}{LINKS}"), model(bodies));
    zip(&[("[Content_Types].xml", &types), ("_rels/.rels", &links), ("3D/3dmodel.model", &model)])
}

fn model(bodies: &[Body]) -> String {
    let mut out = format!(
        "{HEAD}<model unit=\"millimeter\" xml:lang=\"en\" xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n\
         <metadata name=\"Application\">dryfit {}</metadata>\n<resources>\n",
        env!("CARGO_PKG_VERSION")
    );
    // Writing to a text cannot fail. Names are those of the kinds' own parts: words and hyphens.
    for (index, body) in bodies.iter().enumerate() {
        let _ = writeln!(out, "<object id=\"{}\" type=\"model\" name=\"{}\"><mesh><vertices>", index + 1, body.name);
        for [x, y, z] in body.solid.corners() {
            let _ = writeln!(out, "<vertex x=\"{x}\" y=\"{y}\" z=\"{z}\"/>");
        }
        out.push_str("</vertices><triangles>\n");
        for [a, b, c] in body.solid.triangles() {
            let _ = writeln!(out, "<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\"/>");
        }
        out.push_str("</triangles></mesh></object>\n");
    }
    out.push_str("</resources>\n<build>");
    for index in 1..=bodies.len() {
        let _ = write!(out, "<item objectid=\"{index}\"/>");
    }
    out.push_str("</build>\n</model>\n");
    out
}
