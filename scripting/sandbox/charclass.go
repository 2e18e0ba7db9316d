package sandbox

// inClass reports whether a character is in the class %letter; an upper-case letter means those that are not.
func inClass(c, letter byte) bool {
	lower := letter | 0x20
	in, known := false, true
	switch lower {
	case 'a':
		in = isLetter(c)
	case 'c':
		in = c < 0x20 || c == 0x7f
	case 'd':
		in = isDigit(c)
	case 'l':
		in = 'a' <= c && c <= 'z'
	case 'p':
		in = c > 0x20 && c < 0x7f && !isLetter(c) && !isDigit(c)
	case 's':
		in = c == ' ' || '\t' <= c && c <= '\r'
	case 'u':
		in = 'A' <= c && c <= 'Z'
	case 'w':
		in = isLetter(c) || isDigit(c)
	case 'x':
		in = isDigit(c) || 'a' <= c|0x20 && c|0x20 <= 'f'
	case 'z':
		in = c == 0
	default:
		known = false
	}
	if !known || !isLetter(letter) {
		return c == letter
	}
	return in == (letter == lower)
}

func isLetter(c byte) bool { return 'a' <= c|0x20 && c|0x20 <= 'z' }
func isDigit(c byte) bool  { return '0' <= c && c <= '9' }
