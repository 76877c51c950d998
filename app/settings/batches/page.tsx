import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { Field, SelectField, Tick } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { PART_CLASSES, partClassSays as says } from '@/lib/catalogue/part-class.ts'
import { batchClassRules } from '@/lib/db/batch.ts'
import { mayDo } from '@/lib/people/role.ts'
import { setClassRule } from './actions.ts'

export const metadata: Metadata = { title: 'Batches and use-by dates' }

export default async function BatchSettingsPage() {
  const who = await signedIn()
  const rules = await batchClassRules()
  const may = mayDo(who.roles, 'stock.places')
  const open = PART_CLASSES.filter((one) => !rules.some((rule) => rule.partClass === one))
  return (
    <main className="page narrow stack loose" id="page">
      <PageHead
        up={paths.settings()}
        from="Settings"
        about="what spoils, and what must be found again"
        title="Batches and use-by dates"
      >
        <Link className="button" href={paths.spoils()} prefetch={false}>
          Spoils soon
        </Link>
      </PageHead>
      <p>
        What is asked when parts of a class come in. What lies there already stands under “Not known” until somebody
        looks at the packs. A part may say otherwise for itself, on its card under Batches.
      </p>
      {rules.length === 0 ? <p className="empty">Nothing is asked of any class yet.</p> : null}
      {rules.map((rule) => (
        <section key={rule.partClass} className="sheet stack tight" aria-labelledby={`class-${rule.partClass}`}>
          <h2 id={`class-${rule.partClass}`}>{says(rule.partClass)}</h2>
          <p>
            {[
              rule.asksBatch ? 'Batch number' : '',
              rule.asksUseBy ? 'use-by date' : '',
              rule.shelfLifeMonths === null ? '' : `usually ${rule.shelfLifeMonths} months from receipt`,
            ]
              .filter(Boolean)
              .join(', ')}
          </p>
          {may ? (
            <details>
              <summary className="button quiet">
                Change<span className="visually-hidden"> {says(rule.partClass)}</span>
              </summary>
              <Rule rule={rule} />
            </details>
          ) : null}
        </section>
      ))}
      {may ? (
        <section className="stack tight" aria-labelledby="more">
          <h2 id="more">Another class</h2>
          <Rule classes={open} />
        </section>
      ) : (
        <MayNot right="stock.places" />
      )}
    </main>
  )
}

function Rule(props: {
  rule?: { partClass: string; asksBatch: boolean; asksUseBy: boolean; shelfLifeMonths: number | null }
  classes?: readonly string[]
}) {
  const { rule, classes } = props
  return (
    <ActionForm
      action={setClassRule}
      formKey={freshKey()}
      hidden={rule ? { partClass: rule.partClass } : {}}
      submit="Keep it so"
      submitClassName="button"
      aria-label={rule ? says(rule.partClass) : 'Another class'}
    >
      {classes ? (
        <SelectField name="partClass" label="Class" defaultValue="">
          <option value="">Choose a class</option>
          {classes.map((one) => (
            <option key={one} value={one}>
              {says(one)}
            </option>
          ))}
        </SelectField>
      ) : null}
      <Tick name="asksBatch" label="Ask for the batch number" ticked={rule?.asksBatch} />
      <Tick name="asksUseBy" label="Ask for the use-by date" ticked={rule?.asksUseBy} />
      <Field
        name="shelfLifeMonths"
        label="Usual life from receipt, months (may be left empty)"
        hint="Proposed as the date; the one on the pack counts."
        inputMode="numeric"
        className="input-number"
        autoComplete="off"
        defaultValue={rule?.shelfLifeMonths ? String(rule.shelfLifeMonths) : undefined}
      />
    </ActionForm>
  )
}
