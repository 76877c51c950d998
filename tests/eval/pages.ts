import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { corpusOf, KINDS, type Kind } from './corpus.ts'
import { findings, overlayDrawn } from './overlay.ts'
import { halfOf, type PageCase } from './page-case.ts'
import { commandReader, type Reader, treeReader } from './reader.ts'
import { BARS, barsMissed, type Judged, pageLine, reportHead, type Sum, sumLine, sumOf } from './report.ts'
import { pageScore } from './score.ts'
import { lettersDiffer } from './svg-ink.ts'

const USAGE = `npm run eval:pages -- [--only ${KINDS.join('|')}] [--split develop|held-out|all] [--limit N] [--page TEXT]
                   [--fresh SEED] [--save FOLDER] [--findings] [--json] [--tree FOLDER | --cli COMMAND]

Measures the page reader on pages whose callouts and rows are known, kind by kind:
  clean     the reference drawings as they are             degraded  worn copies of them in three severities
  demo      pages of a parts book drawn from the demo, clean and worn
  own       drawing-office sheets of invented machines, clean and worn
  none      pages that are no parts pages
--only may be given more than once. --limit N takes the first N pages of each group, --page those whose name holds TEXT.
--split: half of the pages (by a hash of their name) may be looked at while the reader is made better, the other half only
gives the mark. --fresh draws other pages than those, of the same manners, from a seed of its own: they may all be looked at,
and show whether a mend holds beyond the pages it was found on. --save writes the pages with what was read drawn over them, and a text of what went wrong beside each.
The reader is the one of this checkout, of another (--tree), or any command that prints the JSON of "cotterbook read-page"
(--cli; {} stands for the picture; its seconds hold the start of the program and are not judged).

Bars: clean pages, precision and recall of callouts ${BARS.clean} and leader ends ${BARS.tips}; worn pages, precision and recall ${BARS.degraded};
${BARS.seconds} s for the slowest page after warm-up; ${BARS.peakMb} MB. Answers 0 when all are met, 1 when one is missed, 2 for wrong usage.`

interface Options {
  kinds: readonly Kind[]
  split: 'develop' | 'held-out' | 'all'
  limit: number
  page: string
  fresh: string
  save: string | null
  findings: boolean
  json: boolean
  tree: string
  cli: string | null
}

const SPLITS = ['develop', 'held-out', 'all'] as const

function optionsRead(): Options | null {
  const { values } = parseArgs({
    options: {
      only: { type: 'string', multiple: true },
      split: { type: 'string', default: 'all' },
      limit: { type: 'string' },
      page: { type: 'string', default: '' },
      fresh: { type: 'string', default: '' },
      save: { type: 'string' },
      findings: { type: 'boolean', default: false },
      json: { type: 'boolean', default: false },
      tree: { type: 'string' },
      cli: { type: 'string' },
      help: { type: 'boolean', default: false },
    },
  })
  if (values.help) return null
  const kinds = (values.only ?? []).flatMap((text) => text.split(','))
  const unknown = kinds.find((kind) => !KINDS.some((one) => one === kind))
  if (unknown !== undefined) throw new Error(`--only ${unknown}: there are ${KINDS.join(', ')}`)
  const split = SPLITS.find((one) => one === values.split)
  if (split === undefined) throw new Error(`--split ${values.split}: there are ${SPLITS.join(', ')}`)
  const limit = values.limit === undefined ? Number.POSITIVE_INFINITY : Number(values.limit)
  if (!(limit >= 1)) throw new Error('--limit must be a number of pages, 1 or more')
  return {
    kinds: kinds.length > 0 ? KINDS.filter((kind) => kinds.includes(kind)) : KINDS,
    split,
    limit,
    page: values.page,
    fresh: values.fresh,
    save: values.save === undefined ? null : resolve(values.save),
    findings: values.findings,
    json: values.json,
    tree: values.tree === undefined ? fileURLToPath(new URL('../..', import.meta.url)) : resolve(values.tree),
    cli: values.cli ?? null,
  }
}

/** The wished pages: of the wished half, and the first few of each group. */
function chosen(pages: readonly PageCase[], { split, limit, page, fresh }: Options): PageCase[] {
  const taken = new Map<string, number>()
  const inHalf = (base: string) => split === 'all' || fresh !== '' || halfOf(base) === split
  return pages.filter(({ name, group, base }) => {
    if (!name.includes(page) || !inHalf(base)) return false
    const already = taken.get(group) ?? 0
    taken.set(group, already + 1)
    return already < limit
  })
}

async function judge(page: PageCase, reader: Reader, folder: string, options: Options): Promise<Judged> {
  const picture = await page.make()
  const file = join(folder, `${page.name}.${picture.extension}`)
  writeFileSync(file, picture.bytes)
  const answer = await reader.read(file)
  rmSync(file)
  const score = pageScore(picture.truth, answer.reading)
  const wrong = findings(picture, score, answer.reading)
  if (options.save !== null) {
    writeFileSync(join(options.save, `${page.name}.png`), await overlayDrawn(picture, score, answer.reading))
    writeFileSync(join(options.save, `${page.name}.txt`), [page.about, answer.fault, ...wrong, ''].join('\n'))
  }
  const { seconds, cpuSeconds, peakMb, fault } = answer
  const judged = { page, half: halfOf(page.base), score, seconds, cpuSeconds, peakMb, fault }
  if (!options.json) {
    console.info(pageLine(judged))
    if (options.findings) for (const line of wrong) console.info(`    ${line}`)
  }
  return judged
}

async function main(): Promise<number> {
  const options = optionsRead()
  if (options === null) {
    console.info(USAGE)
    return 0
  }
  if (!(await lettersDiffer()))
    throw new Error('this machine has no font to draw pages with: install one (DejaVu, Liberation)')
  const corpus = corpusOf(options.kinds, options.fresh)
  const pages = chosen(corpus.pages, options)
  if (!options.json) for (const reason of corpus.skipped) console.info(`skipped ${reason}`)
  const folder = mkdtempSync(join(tmpdir(), 'cotterbook-eval-'))
  if (options.save !== null) mkdirSync(options.save, { recursive: true })
  const reader = options.cli === null ? await treeReader(options.tree) : commandReader(options.cli)
  const judged: Judged[] = []
  try {
    if (!options.json) console.info(`${reader.says}\n${reportHead()}`)
    if (reader.warm && pages[0]) await judge(pages[0], reader, folder, { ...options, json: true, save: null })
    for (const page of pages) judged.push(await judge(page, reader, folder, options))
  } finally {
    reader.close()
    rmSync(folder, { recursive: true, force: true })
  }
  const sums = sumsOf(judged)
  const missed = judged.length === 0 ? ['no page was read'] : barsMissed(sums, reader.warm)
  if (options.json)
    console.info(JSON.stringify({ reader: reader.says, sums, missed, skipped: corpus.skipped, pages: judged }, null, 1))
  else {
    console.info(`\n${reportHead()}`)
    for (const sum of sums) console.info(sumLine(sum))
    if (!reader.warm) console.info('seconds hold the start of the command and are not judged')
    console.info(missed.length === 0 ? 'every bar is met' : `bars missed:\n  ${missed.join('\n  ')}`)
  }
  return missed.length === 0 ? 0 : 1
}

/** Each group by half, then whole, then everything. */
function sumsOf(judged: readonly Judged[]): Sum[] {
  const groups = [...new Set(judged.map(({ page }) => page.group))]
  return [
    ...groups.flatMap((group) => {
      const mine = judged.filter(({ page }) => page.group === group)
      const halves = (['develop', 'held-out'] as const).flatMap((half) => {
        const some = mine.filter((one) => one.half === half)
        return some.length > 0 ? [sumOf(group, half, some)] : []
      })
      return halves.length > 1 ? [...halves, sumOf(group, 'all', mine)] : halves
    }),
    ...(groups.length > 1 ? [sumOf('everything', 'all', judged)] : []),
  ]
}

try {
  process.exitCode = await main()
} catch (why) {
  console.error(why instanceof Error ? why.message : String(why))
  process.exitCode = 2
}
