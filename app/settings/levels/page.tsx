import type { Metadata } from 'next'
import Link from 'next/link'
import { Fragment } from 'react'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { Field, SelectField, Tick } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { levelSettings } from '@/lib/db/level-settings.ts'
import { mayDo } from '@/lib/people/role.ts'
import type { LevelSettings } from '@/lib/replenish/level-settings.ts'
import { settingsRead } from '@/lib/settings.ts'
import { saveLevelSettings } from './actions.ts'

export const metadata: Metadata = { title: 'How levels are set' }

type AimName = 'aimVital' | 'aimEssential' | 'aimDesirable'
type Name = Exclude<keyof LevelSettings, 'nightly' | AimName>

const AIM_WORDS: Record<LevelSettings[AimName], string> = {
  fill: 'pieces there at once',
  cycle: 'looks with nobody waiting',
}

interface FieldWords {
  name: Name
  label: string
  hint?: string
  /** What the number is a share of stands before it. */
  aim?: { name: AimName; label: string }
}

/** Every setting with its words, in groups: the form and the list for those who may only look are made of the same. */
const groupsOf = (currency: string): { legend: string; about?: string; fields: FieldWords[] }[] => [
  {
    legend: 'What ordering and keeping costs',
    fields: [
      { name: 'orderCostMinor', label: `One order, ${currency}`, hint: 'Writing it, booking it in, putting it away.' },
      { name: 'holdingPercent', label: 'Keeping a piece for a year, per cent of its price' },
      { name: 'standingDayMinor', label: `A machine standing for a day, ${currency}` },
    ],
  },
  {
    legend: 'How it is ordered',
    fields: [
      { name: 'reviewDays', label: 'Days between two looks at the order list' },
      { name: 'longestYears', label: 'Nothing is bought for more than so many years' },
    ],
  },
  {
    legend: 'What is aimed at',
    about:
      'Of 100 pieces asked for, those that are there at once; or of 100 looks at the order list, those after which nobody waits until the order of the next look has come. Looks count whether or not they order anything, so of what is seldom asked for the share of deliveries before which nobody waits is lower; the page of a part says both.',
    fields: [
      { name: 'fillVital', label: 'Vital parts: of 100', aim: { name: 'aimVital', label: 'Vital parts: share of' } },
      {
        name: 'fillEssential',
        label: 'Essential parts: of 100',
        aim: { name: 'aimEssential', label: 'Essential parts: share of' },
      },
      {
        name: 'fillDesirable',
        label: 'Desirable parts: of 100',
        aim: { name: 'aimDesirable', label: 'Desirable parts: share of' },
      },
    ],
  },
  {
    legend: 'A part without a level gets one when jobs ask for it so many times a year',
    fields: [
      { name: 'leastVital', label: 'Vital' },
      { name: 'leastEssential', label: 'Essential' },
      { name: 'leastDesirable', label: 'Desirable', hint: 'What is wanted less often is bought when a job wants it.' },
    ],
  },
  {
    legend: 'One step',
    fields: [
      {
        name: 'stepTimes',
        label: 'A level moves at most to how many times what it was',
        hint: '2: from 4 to 8 at most, or down to 2, or by what one job takes; the next reckoning goes on from there.',
      },
    ],
  },
]

const shown = (settings: LevelSettings, name: Name) =>
  name.endsWith('Minor') ? (settings[name] / 100).toFixed(2) : String(settings[name])

export default async function LevelSettingsPage() {
  const who = await signedIn()
  const settings = await levelSettings()
  const groups = groupsOf(settingsRead().currency)
  return (
    <main className="page narrow" id="page">
      <PageHead
        up={paths.settings()}
        from="Settings"
        about="reorder points and order-up-to levels"
        title="How levels are set"
      >
        <Link className="button" href={paths.levels()} prefetch={false}>
          Levels
        </Link>
      </PageHead>
      {mayDo(who.roles, 'level.reckon') ? (
        <ActionForm
          action={saveLevelSettings}
          formKey={freshKey()}
          submit="Save"
          className="stack loose"
          aria-label="How levels are set"
        >
          {groups.map(({ legend, about, fields }) => (
            <fieldset className="stack" key={legend}>
              <legend>{legend}</legend>
              {about ? <p className="hint">{about}</p> : null}
              {fields.map(({ name, label, hint, aim }) => (
                <Fragment key={name}>
                  {aim ? <AimField {...aim} value={settings[aim.name]} /> : null}
                  <NumberField {...{ name, label, hint }} value={shown(settings, name)} />
                </Fragment>
              ))}
            </fieldset>
          ))}
          <fieldset className="stack">
            <legend>Every night</legend>
            <Tick name="nightly" label="All levels are reckoned; nothing is changed by it" ticked={settings.nightly} />
            <NumberField name="hour" label="From this hour on, 0 to 23" value={String(settings.hour)} />
          </fieldset>
        </ActionForm>
      ) : (
        <div className="stack">
          <MayNot right="level.reckon" />
          <dl className="facts">
            {groups.flatMap(({ legend, fields }) =>
              fields.map(({ name, label, aim }) => (
                <div key={name}>
                  <dt>
                    {legend}: {label}
                  </dt>
                  <dd>
                    {shown(settings, name)}
                    {aim ? ` ${AIM_WORDS[settings[aim.name]]}` : null}
                  </dd>
                </div>
              )),
            )}
          </dl>
          <p>{settings.nightly ? `Reckoned every night from ${settings.hour}:00 on.` : 'Not reckoned by the clock.'}</p>
        </div>
      )}
    </main>
  )
}

function AimField({ name, label, value }: { name: AimName; label: string; value: LevelSettings[AimName] }) {
  return (
    <SelectField name={name} label={label} defaultValue={value}>
      {Object.entries(AIM_WORDS).map(([kind, words]) => (
        <option key={kind} value={kind}>
          {words}
        </option>
      ))}
    </SelectField>
  )
}

function NumberField({ name, label, hint, value }: { name: string; label: string; hint?: string; value: string }) {
  return (
    <Field
      name={name}
      label={label}
      hint={hint}
      type="text"
      inputMode="decimal"
      className="input-number"
      autoComplete="off"
      defaultValue={value}
    />
  )
}
