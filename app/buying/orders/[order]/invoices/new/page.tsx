import type { Metadata } from 'next'
import Link from 'next/link'
import { cache } from 'react'
import { found, idOf } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { invoiceExpected, ordersBeside } from '@/lib/db/invoice-read.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { InvoiceForm } from './invoice-form.tsx'

interface Props {
  params: Promise<{ order: string }>
  searchParams: Promise<{ also?: string | string[] }>
}

/** The order, others that the invoice may be of, and those among them that were chosen. */
const readOf = cache(async (text: string, also: string) => {
  const orderId = idOf(text)
  const beside = await found(ordersBeside(orderId))
  const asked = also.split(' ')
  const chosen = beside.filter(({ id }) => asked.includes(String(id))).map(({ id }) => id)
  return { beside, chosen, expected: await found(invoiceExpected(orderId, ...chosen)) }
})

async function readFor({ params, searchParams }: Props) {
  return readOf((await params).order, [(await searchParams).also ?? []].flat().join(' '))
}

export async function generateMetadata(props: Props): Promise<Metadata> {
  await signedIn()
  return { title: `Invoice for order ${(await readFor(props)).expected.number}` }
}

export default async function InvoiceNewPage(props: Props) {
  const who = await signedIn()
  const { beside, chosen, expected } = await readFor(props)
  const hasCome = expected.lines.some((line) => line.expected > 0)
  return (
    <main className="page" id="page">
      <PageHead
        up={paths.order(expected.orderId)}
        from={`Order ${expected.number}`}
        about={expected.supplier.name}
        title="Enter an invoice"
      />
      <div className="stack loose">
        {hasCome ? null : (
          <p className="strong">
            <span aria-hidden="true">▲ </span>
            Nothing has come that is not invoiced already. If the goods are there, receive them at the{' '}
            <Link href={paths.order(expected.orderId)}>order</Link> first, or enter the invoice now: it is held against
            the receipt again when they are booked in.
          </p>
        )}
        {mayDo(who.roles, 'buying.order') ? (
          <>
            <OrdersBeside orderId={expected.orderId} beside={beside} chosen={chosen} />
            {/* With other orders it is another form: its fields begin anew. */}
            <InvoiceForm key={chosen.join(' ')} expected={expected} />
          </>
        ) : (
          <MayNot right="buying.order" />
        )}
      </div>
    </main>
  )
}

/** Orders of the same supplier whose lines are put on the invoice too. */
function OrdersBeside(props: {
  orderId: number
  beside: Awaited<ReturnType<typeof ordersBeside>>
  chosen: readonly number[]
}) {
  const { orderId, beside, chosen } = props
  if (beside.length === 0) return null
  return (
    <details>
      <summary className="button quiet">
        {chosen.length > 0 ? 'Change the orders it is for' : 'It is for other orders too'}
      </summary>
      <form action={paths.invoiceNew(orderId)} className="stack" aria-label="Other orders on the invoice">
        <fieldset className="stack tight">
          <legend>Orders of which something came and is on no invoice, newest first</legend>
          <ul className="plain-list columns">
            {beside.map(({ id, number, lines }) => (
              <li key={id}>
                <label className="tick">
                  <input type="checkbox" name="also" value={id} defaultChecked={chosen.includes(id)} />
                  <span>
                    Order {number}, {counted(lines, 'line')}
                  </span>
                </label>
              </li>
            ))}
          </ul>
        </fieldset>
        <div className="row">
          <button type="submit" className="button">
            Show their lines
          </button>
        </div>
      </form>
    </details>
  )
}
