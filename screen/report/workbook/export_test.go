package workbook

// SetTableRows bounds the rows of tables until what it returns is called.
func SetTableRows(n int) (reset func()) {
	old := tableRows
	tableRows = n
	return func() { tableRows = old }
}
