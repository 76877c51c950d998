import type { Group, Half, PageCase } from './page-case.ts'
import { type Counts, countsSum, type PageScore, type Shares, sharesOf } from './score.ts'

export interface Judged {
  page: Pick<PageCase, 'name' | 'group' | 'about'>
  half: Half
  score: PageScore
  seconds: number
  cpuSeconds: number | null
  peakMb: number | null
  fault: string
}

export interface Sum {
  group: string
  half: Half | 'all'
  pages: number
  counts: Counts
  shares: Shares
  kindRight: number
  secondsMedian: number
  secondsMax: number
  cpuSecondsMedian: number | null
  peakMb: number | null
}

export const BARS = {
  /** Clean pages: precision and recall of callouts, each. */
  clean: 0.95,
  tips: 0.85,
  /** Worn copies: precision and recall of callouts, each. */
  degraded: 0.85,
  seconds: 3,
  peakMb: 1024,
}

const CLEAN: readonly Group[] = ['clean', 'demo', 'own']
const DEGRADED: readonly Group[] = ['degraded', 'demo-degraded', 'own-degraded']

export function sumOf(group: string, half: Sum['half'], judged: readonly Judged[]): Sum {
  const counts = countsSum(judged.map(({ score }) => score.counts))
  const seconds = judged.map((one) => one.seconds).sort((a, b) => a - b)
  const cpu = judged.flatMap(({ cpuSeconds }) => (cpuSeconds === null ? [] : [cpuSeconds])).sort((a, b) => a - b)
  const peaks = judged.flatMap(({ peakMb }) => (peakMb === null ? [] : [peakMb]))
  return {
    group,
    half,
    pages: judged.length,
    counts,
    shares: sharesOf(counts),
    kindRight: judged.filter(({ score }) => score.kindRight).length,
    secondsMedian: seconds[Math.floor((seconds.length - 1) / 2)] ?? 0,
    secondsMax: seconds.at(-1) ?? 0,
    cpuSecondsMedian: cpu[Math.floor((cpu.length - 1) / 2)] ?? null,
    peakMb: peaks.length > 0 ? Math.max(...peaks) : null,
  }
}

/** Bars missed, each as a sentence; an empty list is a pass. `warm` is false when seconds hold the start of a program. */
export function barsMissed(sums: readonly Sum[], warm: boolean): string[] {
  return sums.flatMap(({ group, half, shares, secondsMax, peakMb }) => {
    const where = `${group}, ${half}`
    const clean = CLEAN.some((one) => one === group)
    const bar = clean ? BARS.clean : BARS.degraded
    const least = (what: string, share: number | null, wanted: number) =>
      share !== null && share < wanted ? [`${where}: ${what} ${percent(share)}, bar ${percent(wanted)}`] : []
    const judged = clean || DEGRADED.some((one) => one === group)
    return [
      // A reader that finds nothing says nothing wrong: its precision is empty, and its recall of 0 misses the bar.
      ...(judged ? [...least('precision', shares.precision, bar), ...least('recall', shares.recall, bar)] : []),
      ...(clean ? least('leader ends', shares.tips, BARS.tips) : []),
      ...(warm && secondsMax > BARS.seconds
        ? [`${where}: slowest page ${secondsMax.toFixed(1)} s, bar ${BARS.seconds} s`]
        : []),
      ...(peakMb !== null && peakMb > BARS.peakMb
        ? [`${where}: peak memory ${Math.round(peakMb)} MB, bar ${BARS.peakMb} MB`]
        : []),
    ]
  })
}

export const percent = (share: number | null): string => (share === null ? '-' : (share * 100).toFixed(1))

const COLUMNS = ['prec', 'rec', 'tips', 'tip prec', 'rows', 'near', 'kind', 's', 's max', 's cpu', 'MB'] as const

export function reportHead(): string {
  return `${'page'.padEnd(46)}${'call'.padStart(6)}${COLUMNS.map((name) => name.padStart(9)).join('')}`
}

export function pageLine({ page, score, seconds, cpuSeconds, peakMb, fault }: Judged): string {
  const shares = sharesOf(score.counts)
  const kind = score.kindRight ? 'right' : 'wrong'
  return (
    lineOf(page.name, score.counts.calloutsTrue, shares, kind, [seconds, null, cpuSeconds, peakMb]) +
    (fault && `  ${fault}`)
  )
}

export function sumLine(sum: Sum): string {
  const { shares, counts } = sum
  const name = `${sum.group}, ${sum.half}, ${sum.pages} pages`
  return lineOf(name, counts.calloutsTrue, shares, `${sum.kindRight}/${sum.pages}`, [
    sum.secondsMedian,
    sum.secondsMax,
    sum.cpuSecondsMedian,
    sum.peakMb,
  ])
}

function lineOf(
  name: string,
  callouts: number,
  shares: Shares,
  kind: string,
  [seconds, most, cpu, peakMb]: readonly [number, number | null, number | null, number | null],
): string {
  const cells = [
    percent(shares.precision),
    percent(shares.recall),
    percent(shares.tips),
    percent(shares.tipPrecision),
    percent(shares.rows),
    percent(shares.rowsNear),
    kind,
    seconds.toFixed(2),
    most === null ? '' : most.toFixed(2),
    cpu === null ? '-' : cpu.toFixed(2),
    peakMb === null ? '-' : String(Math.round(peakMb)),
  ]
  return `${name.slice(0, 45).padEnd(46)}${String(callouts).padStart(6)}${cells.map((cell) => cell.padStart(9)).join('')}`
}
