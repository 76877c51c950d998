import { figurePaths, withQuery } from './figure-paths.ts'

/** What is printed on labels (lib/label/schema.ts). */
export type LabelAddress = {
  of?: 'bin' | 'part' | 'machine' | 'batch'
  ids?: string
  store?: number
  order?: number
  q?: string
  sheet?: string
  symbol?: string
  from?: number
  copies?: number
  right?: number
  down?: number
}

/** What is asked of the ledger (lib/stock/movement-search.ts), as it stands in an address. */
export type MovementsAddress = {
  q?: string
  part?: number
  kind?: string
  store?: number
  person?: string
  job?: number
  from?: string
  to?: string
}

/** What is asked of the stock table (lib/stock/table.ts), as it stands in an address. */
export type ShelfAddress = { q?: string; store?: number; state?: string; sort?: string; cols?: string }

/** Every address of the product as a function: a screen that moves, moves here, or in figure-paths.ts. */
export const paths = {
  ...figurePaths,
  today: () => '/',
  signIn: (next?: string) => withQuery('/sign-in', { next }),
  firstManager: () => '/first-manager',
  /** What is set up once: people, words, lists in and out. */
  settings: () => '/settings',
  /** The daily proof that the data holds together. */
  check: () => '/settings/check',
  people: () => '/people',
  /** What this workshop calls things. */
  words: () => '/settings/words',
  /** Buildings, vans and containers with their bins. */
  stores: () => '/settings/stores',
  /** One store: `bin` is being changed, `put` is being put on the map. */
  store: (id: number, query: { bin?: number; put?: number } = {}) => withQuery(`/settings/stores/${id}`, query),
  /** Rules of what a job also needs. */
  rules: (query: { q?: string; family?: string; state?: string; origin?: string; strength?: string } = {}) =>
    withQuery('/settings/rules', query),
  rule: (id: string) => `/settings/rules/${id}`,
  ruleChange: (id: string) => `/settings/rules/${id}/change`,
  /** A new rule, filled with the words and conditions of another one where one is named. */
  ruleNew: (query: { like?: string } = {}) => withQuery('/settings/rules/new', query),
  ruleBench: (query: { off?: string } = {}) => withQuery('/settings/rules/bench', query),
  ruleBenchRun: () => '/settings/rules/bench/run',
  ruleTry: (query: { q?: string; classes?: string; figure?: number; model?: number } = {}) =>
    withQuery('/settings/rules/try', query),
  machines: () => '/machines',
  machine: (id: number) => `/machines/${id}`,
  /** Likely callouts for what was told of the machine. */
  machineFault: (id: number, query: { said?: string } = {}) => withQuery(`/machines/${id}/fault`, query),
  serviceBookEntry: (machineId: number, entryId: number) => `/machines/${machineId}/service-book/${entryId}`,
  /** The service books of the fleet, or of one machine. */
  serviceBook: (query: { q?: string; machine?: number; from?: string; to?: string; page?: number } = {}) =>
    withQuery('/service-book', query),
  serviceBookCsv: (query: { q?: string; machine?: number; from?: string; to?: string } = {}) =>
    withQuery('/service-book/list.csv', query),
  serviceBookPdf: (query: { q?: string; machine?: number; from?: string; to?: string } = {}) =>
    withQuery('/service-book/book.pdf', query),
  /** Sheets for paper. */
  printJob: (id: number) => `/print/jobs/${id}`,
  printPickList: (jobId: number) => `/print/jobs/${jobId}/pick-list`,
  printService: (jobId: number) => `/print/jobs/${jobId}/service`,
  printSchedule: (modelId: number, scheduleId: number) => `/print/models/${modelId}/services/${scheduleId}`,
  printServiceBook: (machineId: number) => `/print/machines/${machineId}/service-book`,
  /** What is due over the fleet. */
  services: (query: { machine?: number; state?: string } = {}) => withQuery('/services', query),
  serviceOpen: (machineId: number) => `/services/open?machine=${machineId}`,
  model: (id: number) => `/models/${id}`,
  modelServices: (id: number) => `/models/${id}/services`,
  modelAttach: (id: number, query: { q?: string; figure?: number } = {}) => withQuery(`/models/${id}/attach`, query),
  models: () => '/models',
  /** `side` is where on the machine, as the search read it: directions with commas between. */
  figure: (
    modelId: number,
    figureId: number,
    query: { machine?: number; job?: number; item?: string; side?: string } = {},
  ) => withQuery(`/models/${modelId}/figures/${figureId}`, query),
  /** In what order the parts of a figure come off. */
  figureStrip: (modelId: number, figureId: number) => `/models/${modelId}/figures/${figureId}/strip`,
  /** What is tested before release after work on a figure. */
  figureTests: (modelId: number, figureId: number) => `/models/${modelId}/figures/${figureId}/tests`,
  figurePrint: (modelId: number, figureId: number, query: { machine?: number; job?: number } = {}) =>
    withQuery(`/models/${modelId}/figures/${figureId}/print`, query),
  /** Two serial numbers side by side, each that of a machine or typed. */
  figureCompare: (
    modelId: number,
    figureId: number,
    query: { machineA?: number; serialA?: string; machineB?: number; serialB?: string } = {},
  ) => withQuery(`/models/${modelId}/figures/${figureId}/compare`, query),
  /** What machines are grouped by when money is counted. */
  costCentres: () => '/settings/cost-centres',
  costCentre: (id: number) => `/settings/cost-centres/${id}`,
  /** What a unit of another currency is worth, kept by hand. */
  rates: () => '/settings/rates',
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
  partNew: () => '/parts/new',
  partEdit: (id: number) => `/parts/${id}/edit`,
  partInstead: (id: number) => `/parts/${id}/instead`,
  /** How many of a part to keep, and why. */
  partLevel: (id: number) => `/parts/${id}/level`,
  /** What came and went of a part, and the picture of it; `years` of it. */
  partLedger: (id: number, query: { before?: number; years?: number } = {}) => withQuery(`/parts/${id}/ledger`, query),
  document: (noteId: number) => `/documents/${noteId}`,
  jobs: () => '/jobs',
  job: (id: number) => `/jobs/${id}`,
  jobStrip: (id: number) => `/jobs/${id}/strip`,
  jobTake: (id: number) => `/jobs/${id}/take`,
  /** What a planned service asks to look at and to do. */
  jobService: (id: number) => `/jobs/${id}/service`,
  jobRebuild: (id: number) => `/jobs/${id}/rebuild`,
  jobClose: (id: number) => `/jobs/${id}/close`,
  /** Split pins, torques, wheel nuts, grease: with `thread` a bolt is looked up at once. */
  fasteners: (
    query: { of?: 'split-pin' | 'bolt' | 'wheel' | 'grease'; thread?: string; propertyClass?: string } = {},
  ) => withQuery('/fasteners', query),
  shelf: (query: ShelfAddress & { page?: number } = {}) => withQuery('/shelf', query),
  /** One change of many parts: those that answer a question to the stock table. */
  shelfBulk: (query: ShelfAddress & { what?: string; to?: string; reorder?: string; upTo?: string } = {}) =>
    withQuery('/shelf/bulk', query),
  /** One window of the stock table, for who scrolls through it. */
  shelfRows: (query: ShelfAddress) => withQuery('/shelf/rows', query),
  bins: () => '/shelf/bins',
  bin: (id: number) => `/shelf/bins/${id}`,
  /** A count sheet: of one bin, with a part found in it, or of a store from a place of its walk on. */
  count: (query: { bin?: number; q?: string; part?: number; store?: number; from?: number; due?: number } = {}) =>
    withQuery('/shelf/count', query),
  /** What is due to be counted, and what is asked for again. */
  countDue: () => '/shelf/count/due',
  /** Large differences that wait for approval. */
  countApprove: () => '/shelf/count/approve',
  /** How often the books were right, and the counts themselves. */
  countKept: (query: { before?: number } = {}) => withQuery('/shelf/count/kept', query),
  /** Count sheets as files. */
  countFiles: () => '/shelf/count/files',
  countFile: (format: string, query: { store?: number } = {}) =>
    withQuery(`/shelf/count/files/sheets.${format}`, query),
  countSettings: () => '/settings/counting',
  movements: (query: MovementsAddress & { before?: number; right?: number } = {}) =>
    withQuery('/shelf/movements', query),
  movementsCsv: (query: MovementsAddress = {}) => withQuery('/shelf/movements/list.csv', query),
  /** Labels to print: of bins, parts or machines. `ids` has commas between. */
  labels: (query: LabelAddress = {}) => withQuery('/shelf/labels', query),
  labelsPdf: (query: LabelAddress = {}) => withQuery('/shelf/labels/labels.pdf', query),
  labelsTest: (query: LabelAddress = {}) => withQuery('/shelf/labels/test-page.pdf', query),
  /** Without a job: take, put back, scrap. */
  book: (query: { part?: number; bin?: number; as?: 'take' | 'back' | 'scrap' } = {}) =>
    withQuery('/shelf/book', query),
  /** Goods between two stores. */
  onTheWay: () => '/shelf/on-the-way',
  consignment: (id: number) => `/shelf/on-the-way/${id}`,
  /** Old units of exchange parts: what is owed for them, and what goes back. */
  oldUnits: () => '/shelf/old-units',
  returnNote: (id: number) => `/shelf/old-units/notes/${id}`,
  receive: (query: { part?: number } = {}) => withQuery('/shelf/receive', query),
  /** What the stock was worth on a day, beside another day, and month by month. */
  stockValue: (query: { day?: string; before?: string; method?: string } = {}) => withQuery('/shelf/value', query),
  stockValueCsv: (query: { day?: string; method?: string } = {}) => withQuery('/shelf/value/value.csv', query),
  stockMonthsCsv: (query: { day?: string } = {}) => withQuery('/shelf/value/months.csv', query),
  /** Stock that costs money and does no work. */
  deadStock: (
    query: { months?: number; years?: number; why?: string; advice?: string; store?: string; page?: number } = {},
  ) => withQuery('/shelf/dead', query),
  deadStockCsv: (query: { months?: number; years?: number; why?: string; advice?: string; store?: string } = {}) =>
    withQuery('/shelf/dead/list.csv', query),
  /** What is past its use-by date, or will be within so many days. */
  spoils: (query: { within?: number } = {}) => withQuery('/shelf/spoils', query),
  /** A batch: where it lies and where it went. */
  batch: (id: number) => `/shelf/batches/${id}`,
  /** The batches of a part, and which of them lie in its bins. */
  partBatches: (id: number) => `/parts/${id}/batches`,
  /** Of which classes of parts batches and dates are kept. */
  batchSettings: () => '/settings/batches',
  buying: () => '/buying',
  /** The cheapest orders that bring all that is wanted. */
  orderPlan: () => '/buying/plan',
  /** Winter plans, and the form that begins one. */
  winters: () => '/winter',
  winter: (plan: number) => `/winter/${plan}`,
  winterChange: (plan: number) => `/winter/${plan}/change`,
  winterMachine: (plan: number, machine: number) => `/winter/${plan}/machines/${machine}`,
  /** What to buy for the winter; `budget` in whole units of money, as it is typed. */
  winterBuy: (plan: number, query: { budget?: string } = {}) => withQuery(`/winter/${plan}/buy`, query),
  winterCsv: (plan: number, query: { budget?: string } = {}) => withQuery(`/winter/${plan}/buy/list.csv`, query),
  /** Budgets of cost centres against the list of a sum and the orders of a plan; `budget` as it is typed. */
  winterBudgets: (plan: number, query: { budget?: string } = {}) => withQuery(`/winter/${plan}/budgets`, query),
  /** What the plan of a season said, beside what came of it. */
  winterReview: (plan: number) => `/winter/${plan}/review`,
  winterReviewCsv: (plan: number) => `/winter/${plan}/review/list.csv`,
  /** Levels that a reckoning of all parts proposes. */
  levels: (query: { way?: string; class?: string; page?: number } = {}) => withQuery('/buying/levels', query),
  buyingSettings: () => '/settings/buying',
  levelSettings: () => '/settings/levels',
  buyingCsv: () => '/buying/list.csv',
  suppliers: () => '/buying/suppliers',
  supplierNew: () => '/buying/suppliers/new',
  supplier: (id: number, page?: number) => `/buying/suppliers/${id}${page && page > 1 ? `?page=${page}` : ''}`,
  supplierChange: (id: number) => `/buying/suppliers/${id}/change`,
  /** What a supplier sells: a part to be added is looked for with `q`. */
  supplierOffers: (id: number, query: { q?: string } = {}) => withQuery(`/buying/suppliers/${id}/parts`, query),
  /** What a supplier asks for a part, on which lists, and since when. */
  offer: (supplierId: number, partId: number) => `/buying/suppliers/${supplierId}/parts/${partId}`,
  priceList: (supplierId: number, listId: number, query: { page?: number } = {}) =>
    withQuery(`/buying/suppliers/${supplierId}/lists/${listId}`, query),
  orders: () => '/buying/orders',
  order: (id: number) => `/buying/orders/${id}`,
  chase: () => '/buying/chase',
  /** A supplier's invoice of an order is entered. */
  invoiceNew: (orderId: number) => `/buying/orders/${orderId}/invoices/new`,
  /** Invoices of suppliers, those with differences first. */
  invoices: () => '/buying/invoices',
  invoice: (id: number) => `/buying/invoices/${id}`,
  /** A supplier's credit note for an invoice is entered. */
  creditNew: (invoiceId: number) => `/buying/invoices/${invoiceId}/credits/new`,
  credit: (id: number) => `/buying/credits/${id}`,
  orderDraft: (id: number) => `/buying/drafts/${id}`,
  orderPdf: (id: number) => `/buying/orders/${id}/order.pdf`,
  orderCsv: (id: number) => `/buying/orders/${id}/order.csv`,
  /** What each way to set levels would have done over the last twelve months. */
  lastYear: (query: { kind?: string; service?: number; class?: string } = {}) => withQuery('/buying/last-year', query),
}
