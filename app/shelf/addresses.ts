import { paths } from '../paths.ts'

type Query = Record<string, string | number | undefined>

function withQuery(path: string, query: Query): string {
  const search = new URLSearchParams()
  for (const [name, value] of Object.entries(query))
    if (value !== undefined && value !== '') search.set(name, String(value))
  return search.size === 0 ? path : `${path}?${search}`
}

/** Addresses inside the Shelf area that no other area leads to. */
export const shelfPaths = {
  bins: () => '/shelf/bins',
  /** A bin with a part looked for or chosen that has never lain in it. */
  binFind: (binId: number, query: { q?: string; part?: number }) => withQuery(paths.bin(binId), query),
  receiveFind: (q: string) => withQuery(paths.receive(), { q }),
  movements: (query: { part?: number; before?: number; right?: number } = {}) => withQuery('/shelf/movements', query),
}
