import { parseArgs } from 'node:util'
import { randomSeeded } from '../../lib/maths/random.ts'
import { DEVELOPED_WITH, renumbered, type StripCase, type StripMark, stripCases, stripMark } from './strip-score.ts'

const USAGE = `npm run eval:strip [-- --json]

Measures the proposed strip order on the figures of the demo, whose true orders are known, beside the order of the item
numbers. tau: Kendall's, over the pairs whose order is known. shuffled: the same with the item numbers dealt anew, five times.
steps: of the pairs that follow from the proposed steps, the share right, wrong way round, and independent in truth; known:
the share of the known pairs that they say. Figures marked * were looked at while the proposal was made; the others give the mark.`

const SHUFFLES = 5
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length

interface Row extends StripMark {
  figure: string
  developedWith: boolean
  shuffledTau: number
}

function measured(one: StripCase): Row {
  const random = randomSeeded(`strip ${one.slug}`)
  const shuffled = Array.from({ length: SHUFFLES }, () => stripMark(one, renumbered(one.lines, random)).tau)
  return {
    figure: one.slug,
    developedWith: DEVELOPED_WITH.has(one.slug),
    ...stripMark(one),
    shuffledTau: mean(shuffled),
  }
}

function line(name: string, rows: readonly Omit<Row, 'figure' | 'developedWith'>[]): string {
  const of = (field: keyof StripMark | 'shuffledTau') =>
    mean(rows.map((row) => row[field]))
      .toFixed(2)
      .padStart(field.endsWith('au') ? 10 : 8)
  const columns = ['tau', 'itemTau', 'shuffledTau', 'right', 'wrong', 'independent', 'recall'] as const
  return name.padEnd(22) + columns.map(of).join('')
}

const { values } = parseArgs({ options: { json: { type: 'boolean' }, help: { type: 'boolean' } } })
if (values.help) console.log(USAGE)
else {
  const rows = stripCases().map(measured)
  const held = rows.filter((row) => !row.developedWith)
  if (values.json) console.log(JSON.stringify(rows, null, 2))
  else {
    console.log(`${'figure'.padEnd(22)}       tau items' tau  shuffled   right   wrong  indep.   known`)
    for (const row of rows) console.log(line(`${row.figure}${row.developedWith ? ' *' : ''}`, [row]))
    console.log(line('mean, held out', held))
    console.log(line(`mean, all ${rows.length}`, rows))
  }
}
