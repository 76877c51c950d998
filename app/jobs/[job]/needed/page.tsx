import Link from 'next/link'
import { idOf } from '@/app/_parts/found.ts'
import { PartPicker } from '@/app/_parts/part-picker.tsx'
import { QuantityField } from '@/app/_parts/quantity-field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { ruleBookNow } from '@/lib/db/companion-rule.ts'
import { jobFree } from '@/lib/db/job-free.ts'
import { jobKits } from '@/lib/db/job-kit.ts'
import { jobLearned } from '@/lib/db/job-learned.ts'
import { partsOfServices } from '@/lib/db/job-take-off.ts'
import { kitLineIds } from '@/lib/job/kit-line.ts'
import { NEED_GROUPS, needRows } from '@/lib/job/need-rows.ts'
import { quantityScale } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { acceptMany, addNeed, undoKit } from '../actions.ts'
import { jobRead } from '../job-read.ts'
import { ChoosePart } from './choose-part.tsx'
import { KitOffers } from './kit-offers.tsx'
import { NeedGroupList } from './need-group.tsx'
import { NeedRow } from './need-row.tsx'
import styles from './needed.module.css'
import { PastJobs } from './past-jobs.tsx'
import { GROUP_SAYS } from './row-says.ts'
import { TakeOff } from './take-off.tsx'

export const metadata = { title: 'Also needed' }

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
  const shown = job.needs.filter((need) => need.state !== 'in-kit')
  const { known } = await ruleBookNow()
  const targets = needRows(
    shown.filter((need) => need.origin !== 'suggestion'),
    known,
  )
  const rows = needRows(
    shown.filter((need) => need.origin === 'suggestion'),
    known,
  )
  const { q = '', need: asked } = await searchParams
  const choosing = mayWork ? shown.find((need) => String(need.id) === asked && need.part === null) : undefined
  const kits = mayWork ? await jobKits(job.id) : []
  const ofServices = await partsOfServices(job.id)
  const { freeOf, binsOf } = await jobFree(
    job.id,
    shown,
    kits.map((kit) => ({ partId: kit.kit.kitId, wanted: kit.kits })),
    new Date().toISOString().slice(0, 10),
  )
  const kitOf = new Map(kits.flatMap((kit) => kit.covers.map((one) => [one.partId, kit.kit.number] as const)))
  const unitOf = new Map(shown.flatMap((need) => (need.part ? [[need.part.id, need.unit] as const] : [])))
  const open = rows.filter((row) => row.state === 'open')
  const inOneGo = open.filter((row) => row.needs[0]!.kind !== 'act')
  const musts = inOneGo.filter((row) => row.strength === 'must').length
  const shoulds = inOneGo.filter((row) => row.strength === 'should').length
  const groups = NEED_GROUPS.map((group) => ({ group, rows: rows.filter((row) => row.group === group) })).filter(
    ({ group, rows: own }) => own.length > 0 || (group === 'take' && kits.length > 0),
  )
  // Where musts wait comes first: on a phone that is what fits above the thumb.
  const jumps = groups
    .map(({ group, rows: own }) => {
      const left = own.filter((row) => row.state === 'open')
      return { group, left: left.length, must: left.filter((row) => row.strength === 'must').length }
    })
    .sort((a, b) => b.must - a.must)
  const rowProps = (row: (typeof rows)[number]) => {
    const partId = row.needs[0]!.part?.id
    return {
      row,
      jobId: job.id,
      mayWork,
      free: partId === undefined ? null : (freeOf.get(partId) ?? null),
      kit: partId === undefined || row.state === 'declined' ? null : (kitOf.get(partId) ?? null),
    }
  }
  const toPickList = (className: string) => (
    <Link className={className} href={paths.jobTake(job.id)}>
      To the pick list
    </Link>
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
          <ul className={styles.rows}>
            {targets.map((row) => (
              <NeedRow key={row.key} {...rowProps(row)}>
                {mayWork && kitLineIds(row.needs[0]!.key) && row.needs[0]!.taken === 0 ? (
                  <ActionForm
                    action={undoKit}
                    formKey={freshKey()}
                    className=""
                    submit="Take the parts singly again"
                    submitClassName="button quiet"
                    hidden={{ jobId: job.id, needId: row.needs[0]!.id }}
                  />
                ) : null}
                {mayWork ? <TakeOff row={row} jobId={job.id} ofServices={ofServices} /> : null}
              </NeedRow>
            ))}
          </ul>
        )}
      </section>
      {choosing ? <ChoosePart need={choosing} jobId={job.id} query={q} /> : null}
      <section className="stack tight" aria-labelledby="also">
        <h2 id="also">Also needed</h2>
        {rows.length === 0 ? <p className="soft">Nothing more follows from what is chosen.</p> : null}
        {groups.length > 1 ? (
          <ul className={styles.jump}>
            {jumps.map(({ group, left, must }) => (
              <li key={group}>
                <a href={`#${group}`}>
                  {GROUP_SAYS[group]} <span className="badge">{left} open</span>
                  {must > 0 ? <span className="strength must">{must} must</span> : null}
                </a>
              </li>
            ))}
          </ul>
        ) : null}
        {mayWork && musts > 0 ? (
          <ActionForm
            action={acceptMany}
            formKey={freshKey()}
            className=""
            submit={`Accept every part that must be renewed (${musts})`}
            submitClassName="button"
            hidden={{ jobId: job.id, 'strength[]': 'must' }}
          />
        ) : null}
        {groups.map(({ group, rows: own }) => (
          <NeedGroupList key={group} group={group} rows={own.map(rowProps)}>
            {group === 'take' && kits.length > 0 ? (
              <KitOffers
                kits={kits.map((choice) => ({
                  choice,
                  free: freeOf.get(choice.kit.kitId)!,
                  bins: binsOf.get(choice.kit.kitId) ?? [],
                }))}
                unitOf={unitOf}
                jobId={job.id}
                currency={settingsRead().currency}
              />
            ) : null}
          </NeedGroupList>
        ))}
      </section>
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
      {mayWork && musts + shoulds > 0 ? <p>{toPickList('button')}</p> : null}
      {mayWork ? (
        <div className="main-action">
          {musts + shoulds > 0 ? (
            <ActionForm
              action={acceptMany}
              formKey={freshKey()}
              className={styles.inOneGo}
              submit={`Accept musts and shoulds (${musts + shoulds})`}
              hidden={{ jobId: job.id }}
            >
              <input type="hidden" name="strength[]" value="must" />
              <input type="hidden" name="strength[]" value="should" />
            </ActionForm>
          ) : null}
          {musts + shoulds > 0 ? null : toPickList('button primary')}
        </div>
      ) : null}
    </>
  )
}
