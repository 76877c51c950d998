import { partClassSays } from '@/lib/catalogue/part-class.ts'
import { dateSays, MONTHS } from '@/lib/measure/date.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import type { MonthValue, ValueLine } from '@/lib/value/summary.ts'

/** Money that came or went, with a minus sign that is not a hyphen. */
function signed(minor: number, currency: string): string {
  return `${minor > 0 ? '+' : minor < 0 ? '−' : ''}${moneyFormat(Math.abs(minor), currency)}`
}

export function ValueTable({
  what,
  lines,
  day,
  before,
  currency,
}: {
  what: 'Store' | 'Class'
  lines: readonly ValueLine[]
  day: string
  before: string | null
  currency: string
}) {
  const sum = (of: (line: ValueLine) => number) => lines.reduce((all, line) => all + of(line), 0)
  const total: ValueLine = {
    name: 'Together',
    valueMinor: sum((line) => line.valueMinor),
    beforeMinor: before === null ? null : sum((line) => line.beforeMinor ?? 0),
  }
  return (
    <table className="parts fold">
      <caption>By {what.toLowerCase()}</caption>
      <thead>
        <tr>
          <th scope="col">{what}</th>
          <th scope="col" className="right">
            {dateSays(day)}
          </th>
          {before === null ? null : (
            <>
              <th scope="col" className="right">
                {dateSays(before)}
              </th>
              <th scope="col" className="right">
                Difference
              </th>
            </>
          )}
        </tr>
      </thead>
      <tbody>
        {[...lines, total].map((line) => (
          <tr key={line === total ? '' : line.name}>
            <td className={line === total ? 'wide strong' : 'wide'}>
              {what === 'Class' ? partClassSays(line.name) : line.name}
            </td>
            <td className="right wide" data-label={dateSays(day)}>
              {moneyFormat(line.valueMinor, currency)}
            </td>
            {before === null || line.beforeMinor === null ? null : (
              <>
                <td className="right wide" data-label={dateSays(before)}>
                  {moneyFormat(line.beforeMinor, currency)}
                </td>
                <td className="right wide" data-label="Difference">
                  {signed(line.valueMinor - line.beforeMinor, currency)}
                </td>
              </>
            )}
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function monthSays(month: string): string {
  const [year, number] = month.split('-')
  return `${MONTHS[Number(number) - 1]} ${year}`
}

export function MonthTable({ months, currency }: { months: readonly MonthValue[]; currency: string }) {
  const cells = [
    ['Opening', (row: MonthValue) => moneyFormat(row.openingMinor, currency)],
    ['Received', (row: MonthValue) => signed(row.received, currency)],
    ['Taken', (row: MonthValue) => signed(row.taken, currency)],
    ['Counted', (row: MonthValue) => signed(row.counted, currency)],
    ['Scrapped', (row: MonthValue) => signed(row.scrapped, currency)],
    ['Closing', (row: MonthValue) => moneyFormat(row.closingMinor, currency)],
  ] as const
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Months, newest first</caption>
      <thead>
        <tr>
          <th scope="col">Month</th>
          {cells.map(([name]) => (
            <th key={name} scope="col" className="right">
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {[...months].reverse().map((row) => (
          <tr key={row.month}>
            <td className="wide">{monthSays(row.month)}</td>
            {cells.map(([name, says]) => (
              <td key={name} className="right wide" data-label={name}>
                {says(row)}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  )
}
