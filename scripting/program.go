package scripting

// Program is a compiled routine file with the folder it may require from. It is read only: many rehearsals may run it
// at once.
type Program struct {
	Name, SHA256 string // file name and hash over all its files, for records
}
