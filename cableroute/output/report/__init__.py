"""The report: what it holds, and how that becomes a page, a PDF or Markdown."""
