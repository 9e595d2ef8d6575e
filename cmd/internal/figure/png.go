package figure

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image/png"

	"gonum.org/v1/plot/vg/vgimg"
)

// headPNG is the length of a PNG's signature and IHDR chunk.
const headPNG = 8 + 4 + 4 + 13 + 4

// dressPNG puts title, description and provenance into the file as
// uncompressed iTXt chunks after the header (PNG specification, third edition,
// 11.3.3.4).
func dressPNG(c *vgimg.Canvas, about Caption) ([]byte, error) {
	var raw bytes.Buffer
	if err := png.Encode(&raw, c.Image()); err != nil {
		return nil, err
	}
	body := raw.Bytes()
	if len(body) < headPNG {
		return nil, fmt.Errorf("the canvas wrote %d bytes, too few for a PNG", len(body))
	}
	var out bytes.Buffer
	out.Write(body[:headPNG])
	for _, e := range []struct{ key, text string }{
		{"Title", about.Title}, {"Description", about.Desc}, {"Source", about.Provenance},
	} {
		if e.text != "" {
			// keyword, NUL, no compression, method 0, no language, no translated keyword
			chunk(&out, "iTXt", e.key+"\x00\x00\x00\x00\x00"+clean(e.text))
		}
	}
	out.Write(body[headPNG:])
	return out.Bytes(), nil
}

func chunk(out *bytes.Buffer, kind, data string) {
	var n [4]byte
	binary.BigEndian.PutUint32(n[:], uint32(len(data)))
	out.Write(n[:])
	out.WriteString(kind)
	out.WriteString(data)
	binary.BigEndian.PutUint32(n[:], crc32.ChecksumIEEE([]byte(kind+data)))
	out.Write(n[:])
}
