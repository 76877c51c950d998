/** Every address of the product as a function: a screen that moves, moves here. */
type Query = Record<string, string | number | undefined>

function withQuery(path: string, query: Query): string {
  const search = new URLSearchParams()
  for (const [name, value] of Object.entries(query))
    if (value !== undefined && value !== '') search.set(name, String(value))
  const text = search.toString()
  return text === '' ? path : `${path}?${text}`
}

export const paths = {
  today: () => '/',
  signIn: (next?: string) => withQuery('/sign-in', { next }),
  firstManager: () => '/first-manager',
  people: () => '/people',
  search: (q?: string) => withQuery('/search', { q }),
  machines: () => '/machines',
  machine: (id: number) => `/machines/${id}`,
  serviceBookEntry: (machineId: number, entryId: number) => `/machines/${machineId}/service-book/${entryId}`,
  model: (id: number) => `/models/${id}`,
  models: () => '/models',
  figure: (modelId: number, figureId: number, query: { machine?: number; job?: number; item?: string } = {}) =>
    withQuery(`/models/${modelId}/figures/${figureId}`, query),
  figureImport: () => '/models/import',
  desk: (query: { figure?: number } = {}) => withQuery('/desk', query),
  /** Choosing pages of a file, some at a time. */
  deskSource: (id: string, query: { figure?: number; from?: number } = {}) => withQuery(`/desk/sources/${id}`, query),
  deskThumbnail: (id: string, page: number) => `/desk/sources/${id}/pages/${page}`,
  draft: (id: number) => `/desk/${id}`,
  draftState: (id: number) => `/desk/${id}/state`,
  draftSave: (id: number) => `/desk/${id}/draft`,
  draftPicture: (id: number, viewId: string) => `/desk/${id}/picture?view=${viewId.slice(0, 12)}`,
  draftPublish: (id: number) => `/desk/${id}/publish`,
  part: (id: number) => `/parts/${id}`,
  jobs: () => '/jobs',
  jobNew: (query: { machine?: number; figure?: number; line?: number; model?: number } = {}) =>
    withQuery('/jobs/new', query),
  job: (id: number) => `/jobs/${id}`,
  jobStrip: (id: number) => `/jobs/${id}/strip`,
  jobNeeded: (id: number) => `/jobs/${id}/needed`,
  jobTake: (id: number) => `/jobs/${id}/take`,
  jobRebuild: (id: number) => `/jobs/${id}/rebuild`,
  jobClose: (id: number) => `/jobs/${id}/close`,
  shelf: (query: { q?: string; store?: number; state?: string; page?: number } = {}) => withQuery('/shelf', query),
  bins: () => '/shelf/bins',
  /** A bin; with a part looked for or chosen that has never lain in it. */
  bin: (id: number, query: { q?: string; part?: number } = {}) => withQuery(`/shelf/bins/${id}`, query),
  movements: (query: { part?: number; before?: number; right?: number } = {}) => withQuery('/shelf/movements', query),
  receive: (query: { part?: number } = {}) => withQuery('/shelf/receive', query),
  buying: () => '/buying',
  buyingCsv: () => '/buying/list.csv',
  orders: () => '/buying/orders',
  order: (id: number) => `/buying/orders/${id}`,
  orderCsv: (id: number) => `/buying/orders/${id}/order.csv`,
  picture: (picture: { id: string }) => `/pictures/${picture.id}`,
}
