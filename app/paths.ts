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
  search: (q?: string, narrow: { model?: number; machine?: string; shelf?: string; class?: string } = {}) =>
    withQuery('/search', { q, ...narrow }),
  /** What this workshop calls things. */
  words: () => '/settings/words',
  machines: () => '/machines',
  machine: (id: number) => `/machines/${id}`,
  serviceBookEntry: (machineId: number, entryId: number) => `/machines/${machineId}/service-book/${entryId}`,
  model: (id: number) => `/models/${id}`,
  modelAttach: (id: number, query: { q?: string; figure?: number } = {}) => withQuery(`/models/${id}/attach`, query),
  models: () => '/models',
  figure: (modelId: number, figureId: number, query: { machine?: number; job?: number; item?: string } = {}) =>
    withQuery(`/models/${modelId}/figures/${figureId}`, query),
  /** In what order the parts of a figure come off. */
  figureStrip: (modelId: number, figureId: number) => `/models/${modelId}/figures/${figureId}/strip`,
  figurePrint: (modelId: number, figureId: number, query: { machine?: number; job?: number } = {}) =>
    withQuery(`/models/${modelId}/figures/${figureId}/print`, query),
  /** Two serial numbers side by side, each that of a machine or typed. */
  figureCompare: (
    modelId: number,
    figureId: number,
    query: { machineA?: number; serialA?: string; machineB?: number; serialB?: string } = {},
  ) => withQuery(`/models/${modelId}/figures/${figureId}/compare`, query),
  figureImport: () => '/models/import',
  exchange: () => '/exchange',
  exchangeBring: () => '/exchange/bring',
  exchangeRun: (id: string) => `/exchange/runs/${id}`,
  exchangeRefused: (id: string) => `/exchange/runs/${id}/refused.csv`,
  exchangeExport: (kind: string, format: string) => `/exchange/export/${kind}.${format}`,
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
  partNew: () => '/parts/new',
  partEdit: (id: number) => `/parts/${id}/edit`,
  partInstead: (id: number) => `/parts/${id}/instead`,
  document: (noteId: number) => `/documents/${noteId}`,
  jobs: () => '/jobs',
  jobNew: (query: { machine?: number; figure?: number; line?: number; model?: number } = {}) =>
    withQuery('/jobs/new', query),
  job: (id: number) => `/jobs/${id}`,
  jobStrip: (id: number) => `/jobs/${id}/strip`,
  jobNeeded: (id: number, query: { need?: number } = {}) => withQuery(`/jobs/${id}/needed`, query),
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
  pictureTile: (picture: { id: string }, tile: { level: number; x: number; y: number }) =>
    `/pictures/${picture.id}/tiles/${tile.level}/${tile.x}_${tile.y}`,
}
