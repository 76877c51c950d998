import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import type { PartReview } from '@/lib/winter/review.ts'

/** "2 in any case, 3.4 expected" */
function plannedSays({ planned, part }: PartReview): string {
  if (planned === null) return 'not planned'
  const show = (minor: number) => quantityFormat(minor, part.unit)
  const sure = planned.certain > 0 ? `${show(planned.certain)} in any case` : ''
  if (Math.abs(planned.mean - planned.certain) < 1e-9) return sure || 'none'
  const mean = part.unit === 'each' ? planned.mean.toFixed(1) : show(Math.round(planned.mean))
  return `${sure === '' ? '' : `${sure}, `}${mean} expected`
}

/** What was missing and how it was had. */
function missingSays({ part, missing, rushed }: PartReview): string {
  const show = (minor: number) => quantityFormat(minor, part.unit)
  const elsewhere = missing - part.waiting - rushed
  return [
    ...(part.waiting > 0 ? [`${show(part.waiting)} still waited for`] : []),
    ...(rushed > 0 ? [`${show(rushed)} ordered beside the plan`] : []),
    ...(elsewhere > 0 ? [`${show(elsewhere)} had otherwise`] : []),
  ].join(', ')
}

export function PartsTable({
  rows,
  currency,
  caption,
}: {
  rows: readonly PartReview[]
  currency: string
  caption: string
}) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">{caption}</caption>
      <thead>
        <tr>
          <th scope="col">Part</th>
          <th scope="col">Planned</th>
          <th scope="col" className="right">
            There
          </th>
          <th scope="col" className="right">
            Bought
          </th>
          <th scope="col" className="right">
            Used
          </th>
          <th scope="col" className="right">
            Left over
          </th>
          <th scope="col" className="right">
            Missing
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <Row key={row.part.partId} row={row} currency={currency} />
        ))}
      </tbody>
    </table>
  )
}

function Row({ row, currency }: { row: PartReview; currency: string }) {
  const { part, there, left, leftMinor, missing, missingMinor, planned } = row
  const amount = (label: string, quantity: number, minor: number | null, says = '') => (
    <td className="right wide" data-label={label}>
      {quantity === 0 ? (
        <span className="soft">none</span>
      ) : (
        <>
          {quantityFormat(quantity, part.unit)}
          {minor === null || minor === 0 ? null : <span className="soft small"> {moneyFormat(minor, currency)}</span>}
        </>
      )}
      {says === '' ? null : (
        <>
          <br />
          <span className="small">{says}</span>
        </>
      )}
    </td>
  )
  return (
    <tr>
      <td className="wide">
        <Link href={paths.part(part.partId)} className="number" prefetch={false}>
          {part.number}
        </Link>{' '}
        {part.description}
      </td>
      <td className="wide" data-label="Planned">
        {plannedSays(row)}
        {planned === null || planned.meanMinor === 0 ? null : (
          <span className="soft small"> {moneyFormat(planned.meanMinor, currency)}</span>
        )}
      </td>
      {amount('There', there, null)}
      {amount('Bought', part.bought, part.boughtMinor)}
      {amount('Used', part.used, part.usedMinor)}
      {amount('Left over', left, leftMinor)}
      {amount('Missing', missing, missingMinor, missingSays(row))}
    </tr>
  )
}
