/**
 * The addresses that the scripts of a figure and of the search field name. They stand apart from the others, so that a phone
 * that opens a figure does not wait for all of them; screens take them from `paths`.
 */
type Query = Record<string, string | number | undefined>

export function withQuery(path: string, query: Query): string {
  const search = new URLSearchParams()
  for (const [name, value] of Object.entries(query))
    if (value !== undefined && value !== '') search.set(name, String(value))
  const text = search.toString()
  return text === '' ? path : `${path}?${text}`
}

export const figurePaths = {
  search: (q?: string, narrow: { model?: number; machine?: string; shelf?: string; class?: string } = {}) =>
    withQuery('/search', { q, ...narrow }),
  part: (id: number) => `/parts/${id}`,
  jobNew: (
    query: { machine?: number; figure?: number; line?: number; model?: number; side?: string; complaint?: string } = {},
  ) => withQuery('/jobs/new', query),
  jobNeeded: (id: number, query: { need?: number } = {}) => withQuery(`/jobs/${id}/needed`, query),
  picture: (picture: { id: string }) => `/pictures/${picture.id}`,
  pictureTile: (picture: { id: string }, tile: { level: number; x: number; y: number }) =>
    `/pictures/${picture.id}/tiles/${tile.level}/${tile.x}_${tile.y}`,
}
