package hourly

// Span is the hours of a month, for tests.
var Span = span
