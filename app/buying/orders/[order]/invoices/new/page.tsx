import type { Metadata } from 'next'
import Link from 'next/link'
import { cache } from 'react'
import { found, idOf } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { invoiceExpected } from '@/lib/db/invoice-read.ts'
import { mayDo } from '@/lib/people/role.ts'
import { InvoiceForm } from './invoice-form.tsx'

interface Props {
  params: Promise<{ order: string }>
}

const expectedOf = cache((text: string) => found(invoiceExpected(idOf(text))))

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await signedIn()
  return { title: `Invoice for order ${(await expectedOf((await params).order)).number}` }
}

export default async function InvoiceNewPage({ params }: Props) {
  const who = await signedIn()
  const expected = await expectedOf((await params).order)
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
        <p>
          The fields begin at what came, at the price on the delivery note where one was noted, else at the agreed one.
          Change what the invoice says otherwise; it is then kept as a difference to accept or dispute.
        </p>
        {hasCome ? null : (
          <p className="strong">
            <span aria-hidden="true">▲ </span>
            Nothing has come that is not invoiced already. If the goods are there, receive them at the{' '}
            <Link href={paths.order(expected.orderId)}>order</Link> first, or enter the invoice now: it is held against
            the receipt again when they are booked in.
          </p>
        )}
        {mayDo(who.roles, 'buying.order') ? <InvoiceForm expected={expected} /> : <MayNot right="buying.order" />}
      </div>
    </main>
  )
}
