package folder

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"strconv"

	"aplomb/internal/practice"
)

// MaxRecord is the most bytes one row, or one student, drill, wish or week,
// may take.
const MaxRecord = 1 << 20

const bufferSize = 64 << 10

var (
	errTooLong = errors.New("folder: a record over the limit")
	errUTF16   = errors.New("folder: the file is UTF-16")
)

// input hands on the bytes of a file without a byte-order mark, and fails
// with errTooLong rather than hand on more than limit of them.
type input struct {
	r     *bufio.Reader
	given int64 // bytes handed on
	limit int64
	lines int // line ends handed on or skipped
}

// newInput starts an input at the beginning of a file. A file in UTF-16 is
// told by its mark and is errUTF16.
func newInput(r io.Reader) (*input, error) {
	s := &input{r: bufio.NewReaderSize(r, bufferSize)}
	head, _ := s.r.Peek(3) // an error comes again with the first Read
	switch {
	case bytes.HasPrefix(head, []byte("\xef\xbb\xbf")):
		_, err := s.r.Discard(3)
		return s, err
	case bytes.HasPrefix(head, []byte("\xff\xfe")), bytes.HasPrefix(head, []byte("\xfe\xff")):
		return nil, errUTF16
	}
	return s, nil
}

// Read implements io.Reader.
func (s *input) Read(p []byte) (int, error) {
	left := s.limit - s.given
	if left <= 0 {
		return 0, errTooLong
	}
	n, err := s.r.Read(p[:min(int64(len(p)), left)])
	s.given += int64(n)
	s.lines += bytes.Count(p[:n], []byte{'\n'})
	return n, err
}

// skipLine drops what is left of the line and starts the count of bytes anew.
func (s *input) skipLine() error {
	s.given, s.limit = 0, 0
	for {
		_, err := s.r.ReadSlice('\n')
		if err == nil {
			s.lines++
			return nil
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return err
		}
	}
}

// tooLong is the fault of something that takes more than limit bytes.
func tooLong(limit int) practice.Fault {
	return practice.Fault{Code: practice.LineTooLong, Want: strconv.Itoa(limit>>20) + " MiB"}
}

func readFault(err error) practice.Fault {
	if errors.Is(err, errUTF16) {
		return practice.Fault{Code: practice.NotUTF8, Err: err}
	}
	return practice.Fault{Code: practice.NotRead, Err: err}
}
