import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { QuarantineField } from '@/app/_parts/quarantine-field.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type BatchLine, type BatchView, batchRead } from '@/lib/db/batch-read.ts'
import { binsList } from '@/lib/db/shelf.ts'
import { quantityFormat, quantityTypedAs } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { BATCH_NOT_KNOWN, isExpired } from '@/lib/stock/batch.ts'
import { BIN_KINDS } from '@/lib/stock/bin-kind.ts'
import { MOVEMENT_KINDS } from '@/lib/stock/movement.ts'
import { move } from '../../actions.ts'
import { changeBatch } from '../actions.ts'

export const metadata = { title: 'Batch' }

/** Where a batch lies and where it went: for whoever reads that the maker calls it back. */
export default async function BatchPage({ params }: { params: Promise<{ batch: string }> }) {
  const who = await signedIn()
  const batch = await found(batchRead(idOf((await params).batch)))
  const { part } = batch
  const today = todayIs()
  const show = (quantity: number) => quantityFormat(quantity, part.unit)
  const quarantine = (await binsList()).filter((bin) => bin.kind === 'quarantine')
  return (
    <main className="page stack loose" id="page">
      <header className="page-head">
        <div>
          <p className="over">
            <Link href={paths.part(part.id)} prefetch={false}>
              {part.maker} {part.number}
            </Link>{' '}
            {part.description}
          </p>
          <h1>{batch.code === BATCH_NOT_KNOWN ? 'Batch not known' : `Batch ${batch.code}`}</h1>
          {batch.expiresOn === null ? null : (
            <p>
              Use by <When at={batch.expiresOn} />{' '}
              {isExpired(batch.expiresOn, today) ? (
                <span className="badge unsafe">
                  <span aria-hidden="true">▲ </span>expired
                </span>
              ) : null}
            </p>
          )}
        </div>
        <div className="row">
          <Link className="button" href={paths.labels({ of: 'batch', ids: String(batch.id) })} prefetch={false}>
            Label
          </Link>
          <Link className="button" href={paths.partBatches(part.id)} prefetch={false}>
            All batches of the part
          </Link>
        </div>
      </header>
      <section className="stack tight" aria-labelledby="lies">
        <h2 id="lies">Lies here</h2>
        {batch.lines.length === 0 ? <p className="empty">None of it is on hand.</p> : null}
        <ul className="plain-list stack">
          {batch.lines.map((line) => (
            <li key={line.binId} className="stack tight">
              <p>
                <span className="strong">{show(line.quantity)}</span> in{' '}
                <Link href={paths.bin(line.binId)} className="number" prefetch={false}>
                  {line.bin}
                </Link>
                , {line.store}
                {BIN_KINDS[line.kind].free ? null : (
                  <>
                    {' '}
                    <span className="badge">{BIN_KINDS[line.kind].says}</span>
                  </>
                )}
              </p>
              {BIN_KINDS[line.kind].free && mayDo(who.roles, 'stock.transfer') ? (
                <ToQuarantine batch={batch} line={line} quarantine={quarantine} />
              ) : null}
            </li>
          ))}
        </ul>
      </section>
      <section className="stack tight" aria-labelledby="went">
        <h2 id="went">Where it went</h2>
        <p className="soft">
          {batch.received === 0 ? '' : `${show(batch.received)} came. `}What was put back is left out. When the maker
          calls a batch back, the machines below are looked at first: follow the maker’s notice.
        </p>
        {batch.uses.length === 0 ? (
          <p className="empty">None of it was taken.</p>
        ) : (
          <table className="parts fold">
            <caption className="visually-hidden">Uses of the batch</caption>
            <thead>
              <tr>
                <th scope="col">When</th>
                <th scope="col">Machine</th>
                <th scope="col">For</th>
                <th scope="col" className="right">
                  How much
                </th>
              </tr>
            </thead>
            <tbody>
              {batch.uses.map((use) => (
                <tr key={`${use.job?.id ?? ''} ${use.machine?.id ?? ''} ${use.words}`}>
                  <td data-label="When">
                    <When at={use.at} />
                  </td>
                  <td className="wide" data-label="Machine">
                    {use.machine ? (
                      <Link href={paths.machine(use.machine.id)} prefetch={false}>
                        <span className="number">{use.machine.fleetNumber}</span> {use.machine.name}
                      </Link>
                    ) : (
                      'no machine'
                    )}
                  </td>
                  <td className="wide" data-label="For">
                    {use.job ? (
                      <Link href={paths.job(use.job.id)} prefetch={false}>
                        job {use.job.number}
                        {use.job.state === 'open' ? ', open' : ''}
                      </Link>
                    ) : (
                      use.words || 'without a job'
                    )}
                  </td>
                  <td className="right" data-label="How much">
                    {show(use.quantity)}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
      </section>
      <section className="stack tight" aria-labelledby="movements">
        <h2 id="movements">Movements</h2>
        <ul className="plain-list">
          {batch.movements.map((one) => (
            <li key={one.id}>
              <When at={one.at} time /> - {MOVEMENT_KINDS[one.kind].says} {show(Math.abs(one.quantity))}
              {one.quantity > 0 ? ' into ' : ' from '}
              <span className="number">{one.bin}</span>, {one.person}
              {one.reason ? `: ${one.reason}` : ''}
            </li>
          ))}
        </ul>
      </section>
      {mayDo(who.roles, 'stock.count') && batch.code !== BATCH_NOT_KNOWN ? (
        <details>
          <summary className="button quiet">Number or date was read wrongly</summary>
          <ActionForm
            action={changeBatch}
            formKey={freshKey()}
            hidden={{ batchId: batch.id }}
            submit="Put it right"
            submitClassName="button"
            aria-label="Put the batch right"
          >
            <Field name="code" label="Batch number" defaultValue={batch.code} maxLength={40} autoComplete="off" />
            <Field name="useBy" type="date" label="Use by" defaultValue={batch.expiresOn ?? undefined} />
            <Field name="reason" label="What was wrong" maxLength={200} autoComplete="off" />
          </ActionForm>
        </details>
      ) : null}
    </main>
  )
}

function ToQuarantine(props: {
  batch: BatchView
  line: BatchLine
  quarantine: readonly { id: number; code: string; store: string }[]
}) {
  const { batch, line, quarantine } = props
  const shown = quantityTypedAs(line.quantity, batch.part.unit)
  if (quarantine.length === 0) return null
  return (
    <details>
      <summary className="button quiet">
        Move to quarantine<span className="visually-hidden"> from {line.bin}</span>
      </summary>
      <ActionForm
        action={move}
        formKey={freshKey()}
        hidden={{
          partId: batch.part.id,
          batchId: batch.id,
          fromBinId: line.binId,
          quantity: shown.value,
          unit: shown.unit,
        }}
        submit={`Move ${quantityFormat(line.quantity, batch.part.unit)}`}
        submitClassName="button"
        aria-label={`Move what is in ${line.bin} to quarantine`}
      >
        <QuarantineField bins={quarantine} />
      </ActionForm>
    </details>
  )
}
