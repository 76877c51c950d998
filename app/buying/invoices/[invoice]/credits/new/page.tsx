import type { Metadata } from 'next'
import Link from 'next/link'
import { cache } from 'react'
import { found, idOf } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { creditExpected, invoicesBeside } from '@/lib/db/credit-read.ts'
import { mayDo } from '@/lib/people/role.ts'
import { CreditForm } from './credit-form.tsx'

interface Props {
  params: Promise<{ invoice: string }>
  searchParams: Promise<{ also?: string | string[] }>
}

/** The invoice, others that the credit note may be of, and those among them that were chosen. */
const readOf = cache(async (text: string, also: string) => {
  const invoiceId = idOf(text)
  const beside = await found(invoicesBeside(invoiceId))
  const asked = also.split(' ')
  const chosen = beside.filter(({ id }) => asked.includes(String(id))).map(({ id }) => id)
  return { beside, chosen, expected: await found(creditExpected(invoiceId, ...chosen)) }
})

async function readFor({ params, searchParams }: Props) {
  return readOf((await params).invoice, [(await searchParams).also ?? []].flat().join(' '))
}

export async function generateMetadata(props: Props): Promise<Metadata> {
  await signedIn()
  return { title: `Credit note for invoice ${(await readFor(props)).expected.number}` }
}

export default async function CreditNewPage(props: Props) {
  const who = await signedIn()
  const { beside, chosen, expected } = await readFor(props)
  return (
    <main className="page" id="page">
      <PageHead
        up={paths.invoice(expected.invoiceId)}
        from={`Invoice ${expected.number}`}
        about={expected.supplier.name}
        title="Enter a credit note"
      />
      <div className="stack loose">
        <p>
          The amounts begin at what is still open. Change them to what the credit note gives, without tax; what it
          leaves stays open.
        </p>
        {expected.owed.length > 0 ? null : (
          <p className="strong">
            <span aria-hidden="true">▲ </span>
            Nothing is owed for a difference. Enter goods that were sent back below; for a difference that was accepted,
            dispute it at the <Link href={paths.invoice(expected.invoiceId)}>invoice</Link> first.
          </p>
        )}
        {mayDo(who.roles, 'buying.order') ? (
          <>
            <InvoicesBeside invoiceId={expected.invoiceId} beside={beside} chosen={chosen} />
            {/* With other invoices it is another form: its fields begin anew. */}
            <CreditForm key={chosen.join(' ')} expected={expected} also={chosen} />
          </>
        ) : (
          <MayNot right="buying.order" />
        )}
      </div>
    </main>
  )
}

/** Other invoices of the same supplier whose open differences are put on the credit note too. */
function InvoicesBeside(props: {
  invoiceId: number
  beside: Awaited<ReturnType<typeof invoicesBeside>>
  chosen: readonly number[]
}) {
  const { invoiceId, beside, chosen } = props
  if (beside.length === 0) return null
  return (
    <details>
      <summary className="button quiet">
        {chosen.length > 0 ? 'Change the invoices it is for' : 'It is for other invoices too'}
      </summary>
      <form action={paths.creditNew(invoiceId)} className="stack" aria-label="Other invoices on the credit note">
        <fieldset className="stack tight">
          <legend>Invoices of which something is still to be credited, newest first</legend>
          <ul className="plain-list columns">
            {beside.map(({ id, number }) => (
              <li key={id}>
                <label className="tick">
                  <input type="checkbox" name="also" value={id} defaultChecked={chosen.includes(id)} />
                  <span>Invoice {number}</span>
                </label>
              </li>
            ))}
          </ul>
        </fieldset>
        <div className="row">
          <button type="submit" className="button">
            Show their differences
          </button>
        </div>
      </form>
    </details>
  )
}
