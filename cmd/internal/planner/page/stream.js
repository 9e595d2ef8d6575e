// Reading a stream of events that comes in pieces: "event: NAME", "data: JSON", an empty line.

export function reader(on) {
  let rest = '';
  return (piece) => {
    rest += piece;
    for (;;) {
      const end = rest.indexOf('\n\n');
      if (end < 0) return;
      const event = { name: 'message', data: '' };
      for (const line of rest.slice(0, end).split('\n')) {
        const at = line.indexOf(': ');
        if (line.slice(0, at) === 'event') event.name = line.slice(at + 2);
        if (line.slice(0, at) === 'data') event.data += line.slice(at + 2);
      }
      rest = rest.slice(end + 2);
      on(event.name, JSON.parse(event.data));
    }
  };
}
