import Link from 'next/link'
import { CreditStateSays } from '@/app/buying/credits/credit-state.tsx'
import { paths } from '@/app/paths.ts'
import { creditsList } from '@/lib/db/credit-read.ts'
import type { InvoiceView } from '@/lib/db/invoice-read.ts'
import { dateSays } from '@/lib/measure/date.ts'
import { moneyFormat } from '@/lib/measure/money.ts'

/** What credit notes give back of an invoice, what is still open of it, and what it comes to without that. */
export async function InvoiceCredits({ invoice, mayOrder }: { invoice: InvoiceView; mayOrder: boolean }) {
  const { id, state, currency, differences, totals } = invoice
  const rows = await creditsList({ invoiceId: id })
  const mayEnter = mayOrder && state !== 'withdrawn'
  const shareOf = (row: (typeof rows)[number]) => row.invoices.find((one) => one.id === id)!.shareMinor
  const creditedMinor = rows.reduce((sum, row) => sum + (row.state === 'entered' ? shareOf(row) : 0), 0)
  const disputed = differences.filter((one) => one.state === 'disputed')
  const [openMinor, owedMinor] = (['openMinor', 'owedMinor'] as const).map((what) =>
    disputed.reduce((sum, one) => sum + one[what], 0),
  ) as [number, number]
  if (rows.length === 0 && !mayEnter) return null
  return (
    <section className="stack tight" aria-labelledby="credits">
      <h2 id="credits">Credit notes</h2>
      {rows.length === 0 ? <p className="soft">No credit note for it is entered.</p> : null}
      <ul className="plain-list">
        {rows.map((row) => (
          <li key={row.id}>
            <Link href={paths.credit(row.id)} prefetch={false}>
              Credit note {row.number}
            </Link>{' '}
            of {dateSays(row.day)}, {moneyFormat(shareOf(row), currency)}
            {row.invoices.length === 1 ? '' : ` of ${moneyFormat(row.totalMinor, currency)}`}:{' '}
            <CreditStateSays state={row.state} />
          </li>
        ))}
      </ul>
      {openMinor > 0 ? (
        <p>
          Disputed and not credited yet: open <span className="strong">{moneyFormat(openMinor, currency)}</span> of{' '}
          {moneyFormat(owedMinor, currency)}, without tax.
        </p>
      ) : null}
      {creditedMinor > 0 ? (
        <p>
          Invoiced {moneyFormat(totals.totalMinor, currency)}, credited {moneyFormat(creditedMinor, currency)}: it comes
          to <span className="strong">{moneyFormat(totals.totalMinor - creditedMinor, currency)}</span>.
        </p>
      ) : null}
      {mayEnter ? (
        <div>
          <Link className="button" href={paths.creditNew(id)} prefetch={false}>
            Enter a credit note
          </Link>
        </div>
      ) : null}
    </section>
  )
}
