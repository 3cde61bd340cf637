//! Markdown as a page that can be printed.

use pulldown_cmark::{Options, Parser, html};

/// How the page looks, on paper as on a screen: one column, nothing told by colour.
const STYLE: &str = "\
body { font: 11pt/1.45 Georgia, serif; max-width: 46em; margin: 2em auto; padding: 0 1em; color: #111; background: #fff }\n\
h1 { font-size: 1.35em } h3 { font-size: 1em; margin: 1em 0 .3em } ul { margin: .2em 0 } h2 { font-size: 1.15em; border-bottom: 1px solid #111; margin-top: 1.6em }\n\
table { border-collapse: collapse; width: 100%; font-size: .92em }\n\
th, td { border: 1px solid #888; padding: .25em .5em; text-align: left; vertical-align: top }\n\
li { margin: .15em 0; break-inside: avoid } tr { break-inside: avoid } h2, h3, p:has(+ ul) { break-after: avoid }\n\
@page { margin: 16mm } @media print { body { margin: 0; max-width: none; font-size: 10pt } }\n";

/// A whole page from Markdown, with a title of its own.
pub fn page(title: &str, markdown: &str) -> String {
    let mut body = String::new();
    html::push_html(&mut body, Parser::new_ext(markdown, Options::ENABLE_TABLES));
    let mut escaped = String::new();
    html::push_html(&mut escaped, std::iter::once(pulldown_cmark::Event::Text(title.into())));
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{escaped}</title>\n\
         <meta name=\"viewport\" content=\"width=device-width\">\n<style>\n{STYLE}</style>\n</head>\n<body>\n{body}</body>\n</html>\n"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_looks_like_markup_is_text() {
        let page = page("a < b", "# \\<script\\>\n\n| a |\n| --- |\n| 1 |\n");
        assert!(page.contains("<title>a &lt; b</title>") && page.contains("<table>"), "{page}");
        assert!(!page.contains("<script>"), "{page}");
    }
}
