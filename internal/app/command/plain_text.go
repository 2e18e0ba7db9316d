package command

import (
	"regexp"
	"strings"
	"unicode/utf8"
)

// plainText sets a page of Markdown for a terminal: paragraphs and lists as wide as given, tables in columns, code
// indented, links as their words. It knows what the guide uses, not all of Markdown.
func plainText(markdown string, width int) string {
	var out strings.Builder
	lines := strings.Split(strings.TrimRight(markdown, "\n"), "\n")
	for len(lines) > 0 {
		var block []string
		switch line := lines[0]; {
		case strings.HasPrefix(line, "```"):
			block, lines = lines[1:], lines[1:]
			end := 0
			for end < len(lines) && lines[end] != "```" {
				end++
			}
			block, lines = block[:end], lines[min(end+1, len(lines)):]
			for _, code := range block {
				out.WriteString(strings.TrimRight("    "+code, " ") + "\n")
			}
		case strings.HasPrefix(line, "|"):
			block, lines = leading(lines, func(line string) bool { return strings.HasPrefix(line, "|") })
			out.WriteString(plainTable(block, width))
		case strings.TrimSpace(line) == "":
			if !strings.HasSuffix(out.String(), "\n\n") { // a picture that was left out leaves one empty line, not two
				out.WriteString("\n")
			}
			lines = lines[1:]
		case strings.HasPrefix(line, "    "):
			out.WriteString(line + "\n")
			lines = lines[1:]
		case strings.HasPrefix(line, "#"):
			out.WriteString(heading(line))
			lines = lines[1:]
		default:
			first := true
			block, lines = leading(lines, func(line string) bool {
				goesOn := first || !startsBlock(line)
				first = false
				return goesOn
			})
			out.WriteString(paragraph(block, width))
		}
	}
	return out.String()
}

// leading splits off the lines at the front that fit.
func leading(lines []string, fits func(string) bool) (front, rest []string) {
	n := 0
	for n < len(lines) && fits(lines[n]) {
		n++
	}
	return lines[:n], lines[n:]
}

// item is the mark that a line of a list begins with.
var item = regexp.MustCompile(`^\s{0,3}(-|\d+\.) `)

func startsBlock(line string) bool {
	return strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#") || strings.HasPrefix(line, "|") ||
		strings.HasPrefix(line, "```") || item.MatchString(line)
}

// heading underlines the page's title and its sections.
func heading(line string) string {
	text := words(strings.TrimLeft(line, "# "))
	switch {
	case strings.HasPrefix(line, "# "):
		return text + "\n" + strings.Repeat("=", utf8.RuneCountInString(text)) + "\n"
	case strings.HasPrefix(line, "## "):
		return text + "\n" + strings.Repeat("-", utf8.RuneCountInString(text)) + "\n"
	}
	return text + "\n"
}

// paragraph is one, or an item of a list, whose further lines stand under its first word.
func paragraph(lines []string, width int) string {
	mark := item.FindString(lines[0])
	text := strings.Join(lines, " ")[len(mark):]
	if strings.HasPrefix(text, "> ") { // a quotation
		mark = "  "
		text = strings.ReplaceAll(" "+text, " > ", " ")
	}
	var out strings.Builder
	for i, line := range wrapped(words(text), width-len(mark)) {
		if i > 0 {
			mark = strings.Repeat(" ", len(mark))
		}
		out.WriteString(mark + line + "\n")
	}
	return out.String()
}

// wrapped breaks a text between words. A word that is longer than a line has one to itself.
func wrapped(text string, width int) []string {
	var lines []string
	line, used := "", 0
	for _, word := range strings.Fields(text) {
		length := utf8.RuneCountInString(word)
		if used > 0 && used+1+length > width {
			lines, line, used = append(lines, line), "", 0
		}
		if used > 0 {
			line, used = line+" ", used+1
		}
		line, used = line+word, used+length
	}
	if used > 0 {
		lines = append(lines, line)
	}
	return lines
}

var (
	image  = regexp.MustCompile(`!\[[^\]]*\]\([^)]*\)`)
	link   = regexp.MustCompile(`\[([^\[\]]+)\]\([^)]*\)`)
	strong = regexp.MustCompile(`\*\*([^*]+)\*\*`)
	stress = regexp.MustCompile(`\*([^*\s](?:[^*]*[^*\s])?)\*`)
)

// words is a line without Markdown's marks: links and stressed words are their text, pictures are left out. Code keeps
// its backquotes, and nothing inside it is touched.
func words(text string) string {
	text = link.ReplaceAllString(image.ReplaceAllString(text, ""), "$1")
	parts := strings.Split(text, "`")
	for i := 0; i < len(parts); i += 2 {
		parts[i] = stress.ReplaceAllString(strong.ReplaceAllString(parts[i], "$1"), "$1")
	}
	return strings.Join(parts, "`")
}
