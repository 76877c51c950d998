import Link from 'next/link'
import { Fragment } from 'react'
import { found, idOf } from '@/app/_parts/found.ts'
import { When } from '@/app/_parts/when.tsx'
import { TextField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { jobView } from '@/lib/db/job-read.ts'
import { entryRead } from '@/lib/db/service-book.ts'
import { placeSays } from '@/lib/figure/shaft-end.ts'
import { measureLimitsSay } from '@/lib/job/measurement.ts'
import { type EntryContent, fittedSays } from '@/lib/job/service-book.ts'
import { hoursFormat } from '@/lib/machine/hour-meter.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { correct } from './actions.ts'
import { EntryFlow } from './entry-flow.tsx'

export const metadata = { title: 'Service book entry' }

export default async function EntryPage({ params }: { params: Promise<{ machine: string; entry: string }> }) {
  const who = await signedIn()
  const { machine: machineParam, entry: entryParam } = await params
  const machineId = idOf(machineParam)
  const entry = await found(entryRead(machineId, idOf(entryParam)))
  const { content } = entry
  // The entry is frozen as it was at closing; what was ticked since is read off the job.
  const checks =
    entry.jobId === null ? [] : (await jobView(entry.jobId)).checks.filter((one) => one.kind === 'after-run')
  return (
    <main className="page narrow stack" id="page">
      <div className="page-head">
        <div>
          <p className="over">
            <Link href={paths.machine(machineId)}>
              {content.machine.fleetNumber} {content.machine.name}
            </Link>
            , {content.machine.model}
            {content.machine.serialNumber ? `, S/N ${content.machine.serialNumber}` : ''}
          </p>
          <h1>Service book, {content.job ? `job ${content.job.number}` : 'correction'}</h1>
          <p>
            <When at={entry.writtenAt} />, written by {entry.person}
            {entry.hourTenths !== null ? `, at ${hoursFormat(entry.hourTenths)}` : ''}
          </p>
        </div>
      </div>
      {entry.correctsId !== null ? (
        <p>
          Corrects an <Link href={paths.serviceBookEntry(machineId, entry.correctsId)}>earlier entry</Link>.
        </p>
      ) : null}
      {entry.corrections.map((one) => (
        <p key={one.id} className="alert">
          Corrected on <When at={one.writtenAt} /> by {one.person}: {one.content.correction}
        </p>
      ))}
      <dl className="facts">
        {content.complaint ? (
          <>
            <dt>Complaint</dt>
            <dd>{content.complaint}</dd>
          </>
        ) : null}
        {content.cause ? (
          <>
            <dt>Cause</dt>
            <dd>{content.cause}</dd>
          </>
        ) : null}
        <dt>Correction</dt>
        <dd>{content.correction}</dd>
        {(content.meter ?? []).map((reading) => (
          <Fragment key={`${reading.hourTenths} ${reading.reason}`}>
            <dt>Hour meter</dt>
            <dd>
              {hoursFormat(reading.hourTenths)}: {reading.reason}
            </dd>
          </Fragment>
        ))}
        {content.labourMinutes > 0 ? (
          <>
            <dt>Labour</dt>
            <dd>
              {content.labourMinutes} min
              {content.labour
                ? `: ${content.labour.map((row) => `${row.by} ${row.minutes} min on ${row.day}`).join('; ')}`
                : ''}
            </dd>
          </>
        ) : null}
        {content.releasedBy ? (
          <>
            <dt>Released to work by</dt>
            <dd className="strong">{content.releasedBy}</dd>
          </>
        ) : null}
        {content.foundOnJob ? (
          <>
            <dt>Found on</dt>
            <dd>job {content.foundOnJob}</dd>
          </>
        ) : null}
      </dl>
      <EntryFlow content={content} />
      {content.fitted.length > 0 ? (
        <table className="parts fold">
          <caption>Fitted and used</caption>
          <thead>
            <tr>
              <th scope="col">Item</th>
              <th scope="col">Part</th>
              <th scope="col" className="right">
                Quantity
              </th>
              <th scope="col" className="right">
                Cost
              </th>
            </tr>
          </thead>
          <tbody>
            {content.fitted.map((line) => (
              <tr key={`${line.partNumber} ${line.item} ${line.positions.join()}`}>
                <td>{line.item ? <span className="callout">{line.item}</span> : null}</td>
                <td>
                  {fittedSays(line)} {line.positions.length > 0 ? `(${line.positions.map(placeSays).join(', ')})` : ''}
                  <br />
                  <span className="number">{line.partNumber}</span> <span className="soft small">{line.figure}</span>
                </td>
                <td className="right">{quantityFormat(line.quantity, line.unit as StockUnit)}</td>
                <td className="right">{moneyFormat(line.costMinor, content.currency)}</td>
              </tr>
            ))}
            <tr>
              <td />
              <td className="strong">Parts</td>
              <td />
              <td className="right strong">{moneyFormat(content.partsCostMinor, content.currency)}</td>
            </tr>
          </tbody>
        </table>
      ) : null}
      {content.tests.length > 0 ? (
        <section className="stack tight">
          <h2>Tests before release</h2>
          <ul className="plain-list">
            {content.tests.map((test) => (
              <li key={test.text}>
                {test.state === 'done' ? '✓ done' : '— does not apply'}: {test.text}
                {measuredSays(test.measured)}
                {test.note ? `, ${test.note}` : ''}
                {test.by ? <span className="soft"> ({test.by})</span> : null}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      {content.afterRun && content.afterRun.length > 0 ? (
        <section className="stack tight">
          <h2>After the first loaded run</h2>
          <ul className="plain-list">
            {content.afterRun.map((one) => {
              const now = checks.find((check) => check.text === one.text)
              return (
                <li key={one.text}>
                  {one.state === 'open' ? '☐ still to do when the job was closed' : '✓ done'}: {one.text}
                  {measuredSays(one.measured)}
                  {one.by ? <span className="soft"> ({one.by})</span> : null}
                  {one.state === 'open' && now && now.state !== 'open' ? (
                    <span className="strong">
                      {' '}
                      {now.state === 'done' ? '✓ done' : `— does not apply, ${now.note}`}
                      {now.measure && now.measured !== null
                        ? `, ${now.measure.what} ${now.measured} ${now.measure.unit} (${measureLimitsSay(now.measure)})`
                        : ''}
                      {now.at ? (
                        <>
                          {' '}
                          <When at={now.at} />
                        </>
                      ) : null}
                      {now.by ? `, ${now.by}` : ''}
                    </span>
                  ) : null}
                </li>
              )
            })}
          </ul>
        </section>
      ) : null}
      {content.acts.length > 0 ? (
        <section className="stack tight">
          <h2>Also done</h2>
          <ul className="plain-list">
            {content.acts.map((act) => (
              <li key={act}>{act}</li>
            ))}
          </ul>
        </section>
      ) : null}
      {content.notFitted && content.notFitted.length > 0 ? (
        <section className="stack tight">
          <h2>Accepted, not fitted</h2>
          <ul className="plain-list">
            {content.notFitted.map((line) => (
              <li key={line.description}>
                {line.description} ({line.strength}): {quantityFormat(line.taken, line.unit as StockUnit)} of{' '}
                {quantityFormat(line.wanted, line.unit as StockUnit)}
              </li>
            ))}
          </ul>
          {content.notFittedReason ? <p>Why: {content.notFittedReason}</p> : null}
        </section>
      ) : null}
      {content.declined.length > 0 ? (
        <section className="stack tight">
          <h2>Left out, and why</h2>
          <ul className="plain-list">
            {content.declined.map((line) => (
              <li key={line.description}>
                {line.description} ({line.strength}): {line.reason || 'no reason given'}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      <p className="small soft no-print">
        This entry is frozen. What is wrong in it is put right by a correction that points to it.
      </p>
      {mayDo(who.roles, 'service-book.correct') ? (
        <details className="no-print">
          <summary className="button quiet">Write a correction</summary>
          <ActionForm
            action={correct}
            formKey={freshKey()}
            submit="Write the correction"
            hidden={{ entryId: entry.id }}
          >
            <TextField name="text" label="What is to be put right" />
          </ActionForm>
        </details>
      ) : null}
    </main>
  )
}

function measuredSays(measured: EntryContent['tests'][number]['measured']): string {
  if (!measured) return ''
  const { what, value, unit, limits, passes } = measured
  return ` ${passes ? '✓' : '✗'} ${what} ${value} ${unit}, ${passes ? 'inside' : 'outside'} ${limits}`
}
