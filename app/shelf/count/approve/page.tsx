import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type CountWaiting, countsWaiting } from '@/lib/db/count-approve.ts'
import { countSettings } from '@/lib/db/count-settings.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { approve, sendBack } from './actions.ts'

export const metadata: Metadata = { title: 'Count differences to approve' }

export default async function ApprovePage() {
  const who = await signedIn()
  const mayApprove = mayDo(who.roles, 'stock.approve')
  const [waiting, settings] = await Promise.all([countsWaiting(), countSettings()])
  const { currency } = settingsRead()
  return (
    <main className="page narrow" id="page">
      <PageHead up={paths.countDue()} from="Count due" title="Count differences to approve" />
      <div className="stack loose">
        <p>
          A difference worth more than {moneyFormat(settings.approveMinor, currency)} is booked when somebody else has
          looked at it. Approved or sent back, the count is kept.
        </p>
        {mayApprove ? null : <MayNot right="stock.approve" />}
        {waiting.length === 0 ? <p className="empty">Nothing waits for approval.</p> : null}
        {waiting.map((line) => (
          <Waiting key={line.id} line={line} currency={currency} mayApprove={mayApprove} />
        ))}
      </div>
    </main>
  )
}

function Waiting({ line, currency, mayApprove }: { line: CountWaiting; currency: string; mayApprove: boolean }) {
  const says = (quantity: number) => quantityFormat(quantity, line.unit)
  const difference = line.counted - line.books
  const place = `${line.number} in bin ${line.bin}`
  return (
    <section className="sheet stack" aria-labelledby={`line-${line.id}`}>
      <h2 id={`line-${line.id}`}>
        <Link href={paths.movements({ part: line.partId })} prefetch={false}>
          <span className="number">{line.number}</span> {line.description}
        </Link>
      </h2>
      <p>
        {line.store}, bin <span className="number">{line.bin}</span>. The books said {says(line.books)},{' '}
        {says(line.counted)} counted{line.round > 1 ? ` at count ${line.round}` : ''}:{' '}
        <span className="strong">
          {difference > 0 ? '+' : ''}
          {says(difference)}, {moneyFormat(line.valueMinor, currency)}
        </span>
        .
      </p>
      <p>
        {line.reason}. <span className="soft">{line.person}, </span>
        <When at={line.at} time />
      </p>
      {mayApprove ? (
        <div className="columns">
          <ActionForm
            action={approve}
            formKey={freshKey()}
            hidden={{ lineId: line.id }}
            submit="Approve and book"
            aria-label={`Approve ${place}`}
          >
            <Field name="words" label="Note (may be left empty)" maxLength={200} autoComplete="off" />
          </ActionForm>
          <ActionForm
            action={sendBack}
            formKey={freshKey()}
            hidden={{ lineId: line.id }}
            submit="Send back to be counted again"
            submitClassName="button"
            aria-label={`Send back ${place}`}
          >
            <Field name="words" label="What to look at" maxLength={200} autoComplete="off" />
          </ActionForm>
        </div>
      ) : null}
    </section>
  )
}
