import Link from 'next/link'
import { idOf } from '@/app/_parts/found.ts'
import { KitHints } from '@/app/_parts/kit-hints.tsx'
import { PartPicker } from '@/app/_parts/part-picker.tsx'
import { QuantityField, unitSays } from '@/app/_parts/quantity-field.tsx'
import { Reasons } from '@/app/_parts/reason.tsx'
import { StockState } from '@/app/_parts/stock-state.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { jobLearned } from '@/lib/db/job-learned.ts'
import type { NeedView } from '@/lib/db/job-read.ts'
import { kitHintsFor } from '@/lib/db/kit.ts'
import { quantityFormat, quantityScale, quantityTypedAs } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { acceptMany, addNeed, decide, replaceNeed } from '../actions.ts'
import styles from '../job.module.css'
import { jobRead } from '../job-read.ts'
import { ChoosePart } from './choose-part.tsx'
import { PastJobs } from './past-jobs.tsx'

export const metadata = { title: 'Also needed' }

const SAYS = { must: 'must', should: 'should', consider: 'consider' } as const

export default async function NeededPage({
  params,
  searchParams,
}: {
  params: Promise<{ job: string }>
  searchParams: Promise<{ q?: string; need?: string }>
}) {
  const who = await signedIn()
  const job = await jobRead(idOf((await params).job))
  const mayWork = job.state === 'open' && mayDo(who.roles, 'job.work')
  const targets = job.needs.filter((need) => need.origin !== 'suggestion')
  const suggestions = job.needs.filter((need) => need.origin === 'suggestion')
  const parts = suggestions.filter((need) => need.kind !== 'act')
  const acts = suggestions.filter((need) => need.kind === 'act')
  const { q = '', need: asked } = await searchParams
  const choosing = mayWork ? suggestions.find((need) => String(need.id) === asked && need.part === null) : undefined
  const open = parts.filter((need) => need.state === 'open')
  const musts = open.filter((need) => need.strength === 'must').length
  const shoulds = open.filter((need) => need.strength === 'should').length
  const hints = await kitHintsFor(
    job.needs
      .filter((need) => need.part !== null && need.state !== 'declined')
      .map((need) => ({
        partId: need.part!.id,
        quantity: (need.state === 'open' ? need.suggested : need.wanted) - need.taken,
      })),
  )
  return (
    <>
      <section className="stack tight" aria-labelledby="targets">
        <h2 id="targets">To renew</h2>
        {targets.length === 0 ? (
          <p className="empty">
            Nothing chosen yet. <Link href={paths.job(job.id)}>Find the failed part on the drawing</Link>, or add a part
            by number below.
          </p>
        ) : (
          <div className={styles.needs}>
            {targets.map((need) => (
              <Need key={need.id} need={need} jobId={job.id} mayWork={mayWork} />
            ))}
          </div>
        )}
      </section>
      {choosing ? <ChoosePart need={choosing} jobId={job.id} query={q} /> : null}
      <section className="stack tight" aria-labelledby="also">
        <h2 id="also">Also needed</h2>
        {suggestions.length === 0 ? <p className="soft">Nothing more follows from what is chosen.</p> : null}
        {mayWork && musts + shoulds > 0 ? (
          <div className="row">
            {musts > 0 ? (
              <ActionForm
                action={acceptMany}
                formKey={freshKey()}
                className=""
                submit={`Accept every must (${musts})`}
                hidden={{ jobId: job.id, 'strength[]': 'must' }}
              />
            ) : null}
            {musts + shoulds > musts ? (
              <ActionForm
                action={acceptMany}
                formKey={freshKey()}
                className=""
                submit={`Accept musts and shoulds (${musts + shoulds})`}
                submitClassName="button"
                hidden={{ jobId: job.id }}
              >
                <input type="hidden" name="strength[]" value="must" />
                <input type="hidden" name="strength[]" value="should" />
              </ActionForm>
            ) : null}
          </div>
        ) : null}
        {parts.length > 0 ? (
          <div className={styles.needs}>
            {parts.map((need) => (
              <Need key={need.id} need={need} jobId={job.id} mayWork={mayWork} />
            ))}
          </div>
        ) : null}
      </section>
      <KitHints hints={hints} currency={settingsRead().currency} />
      {acts.length > 0 ? (
        <section className="stack tight" aria-labelledby="acts">
          <h2 id="acts">To see to</h2>
          <div className={styles.needs}>
            {acts.map((need) => (
              <Need key={need.id} need={need} jobId={job.id} mayWork={mayWork} />
            ))}
          </div>
        </section>
      ) : null}
      <PastJobs learned={job.state === 'open' ? await jobLearned(job.id) : []} jobId={job.id} mayWork={mayWork} />
      {mayWork ? (
        <section className="stack tight" aria-labelledby="add">
          <h2 id="add">Add by number</h2>
          <PartPicker
            query={choosing ? '' : q}
            action={paths.jobNeeded(job.id)}
            pick={(part) => (
              <ActionForm
                action={addNeed}
                formKey={freshKey()}
                className="row end"
                hidden={{ jobId: job.id, partId: part.id }}
                aria-label={`Add ${part.number}`}
              >
                <QuantityField
                  name="quantity"
                  label={part.unit === 'each' ? 'How many' : 'How much'}
                  unit={part.unit}
                  value={quantityScale(part.unit)}
                />
                <SubmitButton className="button">Add to the job</SubmitButton>
              </ActionForm>
            )}
          />
        </section>
      ) : null}
      {mayWork ? (
        <div className="main-action">
          <Link className="button primary" href={paths.jobTake(job.id)}>
            To the pick list
          </Link>
        </div>
      ) : null}
    </>
  )
}

function Need({ need, jobId, mayWork }: { need: NeedView; jobId: number; mayWork: boolean }) {
  const { unit } = need
  const quantity = need.state === 'open' ? need.suggested : need.wanted
  return (
    <div className={`${styles.need} ${need.state === 'declined' ? styles.declined : ''}`}>
      <div className="stack tight">
        <div className="row">
          {need.item ? <span className="callout">{need.item}</span> : null}
          <span className={`strong ${styles.what}`}>
            {need.kind === 'act' ? need.description : `${quantityFormat(quantity, unit)} x ${need.description}`}
            {need.kind === 'part' && need.positions.length > 0 ? ` (${need.positions.join(', ')})` : ''}
          </span>
          {need.origin === 'suggestion' ? (
            <span className={`strength ${need.strength}`}>{SAYS[need.strength]}</span>
          ) : null}
          {need.origin === 'suggestion' && need.state !== 'open' ? (
            <span className="badge">{need.state === 'accepted' ? '✓ accepted' : '✕ left out'}</span>
          ) : null}
        </div>
        {need.part ? (
          <p className="small">
            <Link href={paths.part(need.part.id)} className="number">
              {need.part.number}
            </Link>{' '}
            {need.stock ? (
              <StockState stock={need.stock} unit={unit} reorderPoint={need.reorderPoint} ownJobId={jobId} />
            ) : null}
            {need.bins.length > 0 ? (
              <span className="soft"> in {need.bins.map((bin) => bin.bin).join(', ')}</span>
            ) : null}
          </p>
        ) : need.kind !== 'act' ? (
          <p className="small">
            Not on file.{' '}
            {mayWork ? (
              <Link
                href={paths.jobNeeded(jobId, { need: need.id })}
                aria-label={`Choose what serves: ${need.description}`}
              >
                Choose what serves
              </Link>
            ) : null}
          </p>
        ) : null}
        {need.insteadOf ? <p className="small">{need.insteadOf}</p> : null}
        {need.taken > 0 ? <p className="small">{quantityFormat(need.taken, unit)} taken</p> : null}
        {/* The words of an act are its reason; saying them twice helps nobody. */}
        <Reasons reasons={need.reasons.map((one) => (one.words === need.description ? { ...one, words: '' } : one))} />
        {need.state === 'declined' && need.declineReason ? (
          <p className="small">Left out: {need.declineReason}</p>
        ) : null}
        {mayWork && need.part && need.taken === 0
          ? need.instead.map((other) => (
              <ActionForm
                key={other.id}
                action={replaceNeed}
                formKey={freshKey()}
                className=""
                submit={`Use ${other.number} instead (${other.says}, ${quantityFormat(other.available, unit)} free)`}
                submitClassName="button quiet"
                hidden={{ jobId, needId: need.id, partId: other.id }}
              />
            ))
          : null}
      </div>
      {mayWork && need.origin === 'suggestion' ? <Decide need={need} jobId={jobId} /> : null}
    </div>
  )
}

function Decide({ need, jobId }: { need: NeedView; jobId: number }) {
  const { unit } = need
  const isPart = need.part !== null
  const shown = quantityTypedAs(need.suggested, unit)
  const hidden = { jobId, needId: need.id, unit: shown.unit }
  if (need.state !== 'open')
    return (
      <div className={styles.decide}>
        <ActionForm
          action={decide}
          formKey={freshKey()}
          className=""
          hidden={{ ...hidden, decision: 'open' }}
          submit={
            <>
              Change<span className="visually-hidden"> {need.description}</span>
            </>
          }
          submitClassName="button quiet"
        />
      </div>
    )
  return (
    <div className={styles.decide}>
      <ActionForm action={decide} formKey={freshKey()} className="row end" hidden={{ ...hidden, decision: 'accepted' }}>
        {isPart ? (
          <>
            <Field
              name="wanted"
              label={`Quantity of ${need.description}${unit === 'each' ? '' : `, ${unitSays(shown.unit)}`}`}
              labelHidden
              inputMode="decimal"
              className="input-number"
              defaultValue={shown.value}
            />
            {unit === 'each' ? null : <span className="small soft">{unitSays(shown.unit)}</span>}
          </>
        ) : null}
        <SubmitButton className="button" aria-label={`${isPart ? 'Accept' : 'Will do'}: ${need.description}`}>
          {isPart ? 'Accept' : 'Will do'}
        </SubmitButton>
      </ActionForm>
      <details>
        <summary className="button quiet">Leave out</summary>
        <ActionForm
          action={decide}
          formKey={freshKey()}
          submit="Leave it out"
          submitClassName="button"
          hidden={{ ...hidden, decision: 'declined' }}
        >
          <Field name="reason" label={need.strength === 'must' ? 'Why (needed for a must)' : 'Why'} />
        </ActionForm>
      </details>
    </div>
  )
}
