//! What a file says about itself as XMP (ISO 16684-1): title, author, subject, words, date.

use super::Meta;
use std::fmt::Write as _;

/// The packet's beginning and its end, which never changes.
const BEGIN: &str = "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n";
const END: &str = "<?xpacket end=\"r\"?>";

/// The packet for a file.
pub(super) fn packet(meta: &Meta) -> String {
    let mut out = BEGIN.to_owned();
    out.push_str(
        "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n\
         <rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n\
         <rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" \
         xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\">\n\
         <dc:format>application/pdf</dc:format>\n\
         <dc:language><rdf:Bag><rdf:li>en</rdf:li></rdf:Bag></dc:language>\n\
         <pdf:Producer>Blankwright</pdf:Producer>\n",
    );
    let alternatives = |text: &str| {
        format!("<rdf:Alt><rdf:li xml:lang=\"x-default\">{}</rdf:li></rdf:Alt>", escaped(text))
    };
    let _ = writeln!(out, "<dc:title>{}</dc:title>", alternatives(&meta.title));
    if let Some(author) = &meta.author {
        let author = escaped(author);
        let _ =
            writeln!(out, "<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>");
    }
    if let Some(subject) = &meta.subject {
        let _ = writeln!(out, "<dc:description>{}</dc:description>", alternatives(subject));
    }
    if !meta.keywords.is_empty() {
        let words = escaped(&meta.keywords.join(", "));
        let _ = writeln!(out, "<pdf:Keywords>{words}</pdf:Keywords>");
    }
    if let Some(day) = meta.date.as_deref().filter(|day| super::date::pdf_date(day).is_some()) {
        let _ = writeln!(
            out,
            "<xmp:CreateDate>{day}</xmp:CreateDate>\n<xmp:ModifyDate>{day}</xmp:ModifyDate>"
        );
    }
    out.push_str("</rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n");
    out.push_str(END);
    out
}

fn escaped(text: &str) -> String {
    let plain: String = text.chars().filter(|sign| !sign.is_control()).collect();
    plain.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_given_is_told_and_nothing_else() {
        let meta = Meta {
            title: "Heron & <Reed>".into(),
            author: Some("Hollow Oak".into()),
            date: Some("2026-11-25".into()),
            ..Meta::default()
        };
        let packet = packet(&meta);
        for words in ["Heron &amp; &lt;Reed&gt;", "<rdf:li>Hollow Oak</rdf:li>", ">2026-11-25</xmp"]
        {
            assert!(packet.contains(words), "{words} in {packet}");
        }
        assert!(!packet.contains("Keywords") && !packet.contains("description"));
        let plain = super::packet(&Meta { date: Some("spring".into()), ..Meta::default() });
        assert!(!plain.contains("CreateDate") && !plain.contains("creator"));
    }
}
