import type { BookYear } from '@/lib/job/book-year.ts'
import { hoursFormat } from '@/lib/machine/hour-meter.ts'
import { moneyFormat } from '@/lib/measure/money.ts'

/** What the machine cost by year, and by hour run. */
export function Years({ years, currency }: { years: readonly BookYear[]; currency: string }) {
  return (
    <table className="parts fold">
      <caption>By year</caption>
      <thead>
        <tr>
          <th scope="col">Year</th>
          <th scope="col" className="right">
            Repairs
          </th>
          <th scope="col" className="right">
            Services
          </th>
          <th scope="col" className="right">
            Work
          </th>
          <th scope="col" className="right">
            Run
          </th>
          <th scope="col" className="right">
            Parts
          </th>
          <th scope="col" className="right">
            Parts an hour run
          </th>
        </tr>
      </thead>
      <tbody>
        {years.map((row) => (
          <tr key={row.year}>
            <td className="strong">{row.year}</td>
            <td className="right wide" data-label="Repairs">
              {row.repairs}
            </td>
            <td className="right wide" data-label="Services">
              {row.services}
            </td>
            <td className="right wide" data-label="Work">
              {(row.labourMinutes / 60).toFixed(1)} h
            </td>
            <td className="right wide" data-label="Run">
              {row.runTenths === null ? <span className="soft">not known</span> : hoursFormat(row.runTenths)}
            </td>
            <td className="right wide" data-label="Parts">
              {moneyFormat(row.partsCostMinor, currency)}
            </td>
            <td className="right wide" data-label="Parts an hour run">
              {row.costPerHourMinor === null ? (
                <span className="soft">not known</span>
              ) : (
                moneyFormat(row.costPerHourMinor, currency)
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
