import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { Field, Tick } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { countSettings } from '@/lib/db/count-settings.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { saveCounting } from './actions.ts'

export const metadata: Metadata = { title: 'Counting' }

const whole = (minor: number) => (minor / 100).toFixed(2)

export default async function CountingPage() {
  const who = await signedIn()
  const kept = await countSettings()
  const { currency } = settingsRead()
  const number = (name: keyof typeof kept, label: string, hint?: string) => (
    <Field
      name={name}
      label={label}
      hint={hint}
      type="text"
      inputMode="numeric"
      className="input-number"
      autoComplete="off"
      defaultValue={String(kept[name])}
    />
  )
  const money = (name: 'recountMinor' | 'approveMinor', label: string) => (
    <Field
      name={name}
      label={label}
      type="text"
      inputMode="decimal"
      className="input-number"
      autoComplete="off"
      defaultValue={whole(kept[name])}
    />
  )
  return (
    <main className="page narrow" id="page">
      <PageHead
        up={paths.settings()}
        from="Settings"
        about="how often bins are counted, and what a large difference is"
        title="Counting"
      >
        <Link className="button" href={paths.countDue()} prefetch={false}>
          Count due
        </Link>
      </PageHead>
      {mayDo(who.roles, 'stock.approve') ? (
        <ActionForm
          action={saveCounting}
          formKey={freshKey()}
          submit="Save"
          className="stack loose"
          aria-label="Counting"
        >
          <fieldset className="stack">
            <legend>Classes by value of use, per cent of the whole</legend>
            {number('abcA', 'A up to')}
            {number('abcB', 'B up to', 'What is left is C.')}
          </fieldset>
          <fieldset className="stack">
            <legend>Counted how many times a year</legend>
            {number('timesA', 'Class A')}
            {number('timesB', 'Class B')}
            {number('timesC', 'Class C')}
          </fieldset>
          <fieldset className="stack">
            <legend>Counted again when it differs by more than</legend>
            {money('recountMinor', `Value in ${currency}`)}
            {number('recountPercent', 'Per cent of what the books say', 'Either of the two is enough.')}
            <Tick
              name="recountByOther"
              label="The second count is made by somebody else"
              ticked={kept.recountByOther}
            />
          </fieldset>
          <fieldset className="stack">
            <legend>Waits for approval above</legend>
            {money('approveMinor', `Value in ${currency}`)}
          </fieldset>
        </ActionForm>
      ) : (
        <div className="stack">
          <MayNot right="stock.approve" />
          <ul>
            <li>
              A up to {kept.abcA} % of the value of use, counted {kept.timesA} times a year; B up to {kept.abcB} %,{' '}
              {kept.timesB} times; C {kept.timesC} times.
            </li>
            <li>
              Counted again above {whole(kept.recountMinor)} {currency} or {kept.recountPercent} %
              {kept.recountByOther ? ', by somebody else' : ''}.
            </li>
            <li>
              Waits for approval above {whole(kept.approveMinor)} {currency}.
            </li>
          </ul>
        </div>
      )}
    </main>
  )
}
