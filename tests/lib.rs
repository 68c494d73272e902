//! Tests of whole projects: files and edits in, findings and documents out. Shared helpers live here.
