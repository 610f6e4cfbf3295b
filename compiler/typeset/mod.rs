//! Cards in, pages out: templates, Typst source, document, bytes.
