// The sums that an entry took from the book when it was written. Twin of server/book/taken.py.

/** The sums that an entry took from the book, and of which place. */
export function takenSums(kind, said) {
  switch (kind) {
    case 'settle':
    case 'loss':
    case 'sample':
    case 'bottling':
    case 'send':
    case 'macerate_out':
      return [[`vessel/${said.vessel}`, said.book]];
    case 'transfer':
      return [[`vessel/${said.by === 'receiver' ? said.to : said.from}`, said.book]];
    case 'filter':
      return [
        [`vessel/${said.from}`, said.book_from],
        [`vessel/${said.to}`, said.book_to],
      ];
    case 'destroy':
      return (said.place.vessel ?? null) === null ? [] : [[`vessel/${said.place.vessel}`, said.place.book]];
    case 'charge':
      return said.parts
        .filter((part) => (part.vessel ?? null) !== null)
        .map((part) => [`vessel/${part.vessel}`, part.book]);
    case 'cut':
      return said.from?.gauge ? [[`vessel/${said.from.receiver}`, said.from.before]] : [];
    case 'fill_gauge':
    case 'drain':
      return [[`vessel/${said.receiver}`, said.before]];
    case 'end':
      return [[`still/${said.still}`, said.book]];
    default:
      return [];
  }
}
