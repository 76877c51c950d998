'use client'

import { useState } from 'react'
import { Field, SelectField, TextField, TickGroup } from '@/app/_server/field.tsx'
import type { RuleForm } from '@/lib/companion/rule-form.ts'
import { Chips } from './chips.tsx'
import { CHOICES, type Choice } from './choice.ts'

interface Props {
  form: RuleForm
  onEdited: () => void
}

function Options({ choices }: { choices: readonly Choice[] }) {
  return choices.map((choice) => (
    <option key={choice.value} value={choice.value}>
      {choice.says}
    </option>
  ))
}

const MILLIMETRES = { inputMode: 'decimal', className: 'input-number', maxLength: 12 } as const

/** When it applies. What is left empty is not looked at. */
export function WhenFields({ form, onEdited, rules }: Props & { rules: readonly Choice[] }) {
  const isMore =
    [
      form.notClasses,
      form.joints,
      form.notJoints,
      form.safetyJoints,
      form.facts,
      form.torqueStates,
      form.holds,
      form.notHeldBy,
      form.fluids,
      form.notFluids,
      form.unless,
    ].some((list) => list.length > 0) ||
    [form.paired, form.threadOver, form.threadUpTo, form.piecesMin, form.massOver].some((text) => text !== '') ||
    [form.models, form.ageHours, form.ageYears, form.seasonFrom, form.seasonTo].some((text) => text !== '')
  return (
    <fieldset className="stack">
      <legend>
        <h2>When</h2>
      </legend>
      <Chips
        name="classes"
        label="Kind of part"
        hint="One of these; none means every part."
        choices={CHOICES.classes}
        initial={form.classes}
        onEdited={onEdited}
      />
      <SelectField name="what" label="What happens to it" defaultValue={form.what}>
        <Options choices={CHOICES.whats} />
      </SelectField>
      <details open={isMore}>
        <summary className="button">More conditions</summary>
        <div className="stack">
          <TickGroup
            name="paired"
            legend="Where it sits"
            options={[{ value: 'yes', label: 'at a position that another one wears with (left and right of an axle)' }]}
            ticked={form.paired ? ['yes'] : []}
          />
          <Chips
            name="joints"
            label="Kind of joint"
            choices={CHOICES.joints}
            initial={form.joints}
            onEdited={onEdited}
          />
          <Chips
            name="notJoints"
            label="Not this kind of joint"
            choices={CHOICES.joints}
            initial={form.notJoints}
            onEdited={onEdited}
          />
          <Chips
            name="safetyJoints"
            label="Belongs to"
            choices={CHOICES.safetyJoints}
            initial={form.safetyJoints}
            onEdited={onEdited}
          />
          <Chips
            name="notClasses"
            label="Not this kind of part"
            choices={CHOICES.classes}
            initial={form.notClasses}
            onEdited={onEdited}
          />
          <Chips
            name="facts"
            label="Only where the list gives its"
            choices={CHOICES.facts}
            initial={form.facts}
            onEdited={onEdited}
          />
          <Chips
            name="torqueStates"
            label="Torque is given for threads"
            choices={CHOICES.torqueStates}
            initial={form.torqueStates}
            onEdited={onEdited}
          />
          <Chips
            name="holds"
            label="Only where it holds"
            choices={CHOICES.classes}
            initial={form.holds}
            onEdited={onEdited}
          />
          <Chips
            name="notHeldBy"
            label="Not where it is held by"
            choices={CHOICES.classes}
            initial={form.notHeldBy}
            onEdited={onEdited}
          />
          <Chips
            name="fluids"
            label="Only where this runs out"
            choices={CHOICES.fluids}
            initial={form.fluids}
            onEdited={onEdited}
          />
          <Chips
            name="notFluids"
            label="Not where this runs out"
            choices={CHOICES.fluids}
            initial={form.notFluids}
            onEdited={onEdited}
          />
          <div className="row end">
            <Field name="threadOver" label="Thread over, mm" defaultValue={form.threadOver} {...MILLIMETRES} />
            <Field name="threadUpTo" label="Thread up to, mm" defaultValue={form.threadUpTo} {...MILLIMETRES} />
          </div>
          <div className="row end">
            <Field name="piecesMin" label="At least so many in it" defaultValue={form.piecesMin} {...MILLIMETRES} />
            <Field name="massOver" label="Heavier than, kg" defaultValue={form.massOver} {...MILLIMETRES} />
          </div>
          <MachineConditions form={form} />
          <Chips
            name="unless"
            label="Silent where this rule speaks"
            choices={rules}
            initial={form.unless}
            onEdited={onEdited}
          />
        </div>
      </details>
    </fieldset>
  )
}

/** What is asked of the machine, not of the part. */
function MachineConditions({ form }: { form: RuleForm }) {
  return (
    <>
      <Field
        name="models"
        label="Only on these models"
        hint="Names, with commas between; none means every machine."
        defaultValue={form.models}
        maxLength={400}
      />
      <div className="row end">
        <Field name="ageHours" label="Part has run, hours or more" defaultValue={form.ageHours} {...MILLIMETRES} />
        <Field name="ageYears" label="or is so many years old" defaultValue={form.ageYears} {...MILLIMETRES} />
      </div>
      <p className="small soft">
        Counted from when the part was last fitted new; where no job says so, from the machine's meter and year of make.
      </p>
      <div className="row end">
        <SelectField name="seasonFrom" label="Season from" defaultValue={form.seasonFrom}>
          <Options choices={CHOICES.months} />
        </SelectField>
        <SelectField name="seasonTo" label="to the end of" defaultValue={form.seasonTo}>
          <Options choices={CHOICES.months} />
        </SelectField>
      </div>
    </>
  )
}

/** What is asked for, and how much of it. */
export function ThenFields({ form, onEdited }: Props) {
  const [what, setWhat] = useState(form.then)
  return (
    <fieldset className="stack">
      <legend>
        <h2>Then</h2>
      </legend>
      <SelectField name="then" label="Ask for" defaultValue={what} onChange={(event) => setWhat(event.target.value)}>
        <Options choices={CHOICES.thens} />
      </SelectField>
      {what === 'line-of-class' || what === 'consumable' ? (
        <Chips
          name="thenClasses"
          label={what === 'consumable' ? 'What is taken (the first that is on file)' : 'Which part'}
          choices={CHOICES.classes}
          initial={form.thenClasses}
          onEdited={onEdited}
        />
      ) : null}
      {what === 'line-of-class' ? (
        <SelectField name="within" label="Where it is looked for" defaultValue={form.within || 'attached'}>
          <Options choices={CHOICES.withins} />
        </SelectField>
      ) : null}
      {what === 'consumable' ? (
        <>
          <Field name="grade" label="Grade (may be left empty)" defaultValue={form.grade} maxLength={40} />
          <TickGroup
            name="onlyFromList"
            legend="Which part serves"
            options={[{ value: 'yes', label: 'only what the parts list names' }]}
            ticked={form.onlyFromList ? ['yes'] : []}
          />
          <SelectField name="formula" label="How much" defaultValue={form.formula}>
            <Options choices={CHOICES.formulas} />
          </SelectField>
          <AmountFields form={form} />
        </>
      ) : null}
      {what === 'act' ? (
        <>
          <TickGroup
            name="perLine"
            legend="How often it is said"
            options={[{ value: 'yes', label: 'once for each part, so that the words may name it' }]}
            ticked={form.perLine ? ['yes'] : []}
          />
          <StageField form={form} />
          <TickGroup
            name="afterRun"
            legend="After the job"
            options={[{ value: 'yes', label: 'not on the job but after the first hours of running' }]}
            ticked={form.afterRun ? ['yes'] : []}
          />
        </>
      ) : null}
      {what === 'torque-note' ? (
        <SelectField name="treatment" label="Threads treated with" defaultValue={form.treatment || 'oiled'}>
          <Options choices={CHOICES.treatments} />
        </SelectField>
      ) : null}
    </fieldset>
  )
}

/** An amount for each unit in which the part may be kept; only the fitting one counts. */
export function AmountFields({ form }: { form: RuleForm }) {
  return (
    <>
      <div className="row end">
        <Field name="each" label="Pieces" defaultValue={form.each} {...MILLIMETRES} />
        <Field name="kilogram" label="Kilograms" defaultValue={form.kilogram} {...MILLIMETRES} />
        <Field name="litre" label="Litres" defaultValue={form.litre} {...MILLIMETRES} />
        <Field name="metre" label="Metres" defaultValue={form.metre} {...MILLIMETRES} />
      </div>
      <PerField form={form} />
    </>
  )
}

export function PerField({ form }: { form: RuleForm }) {
  return (
    <SelectField name="per" label="Counted" defaultValue={form.per || 'job'}>
      <Options choices={CHOICES.pers} />
    </SelectField>
  )
}

export function StageField({ form }: { form: RuleForm }) {
  return (
    <SelectField name="stage" label="When it is done" defaultValue={form.stage}>
      <Options choices={CHOICES.stages} />
    </SelectField>
  )
}

export function SaysFields({ form, isShipped }: { form: RuleForm; isShipped: boolean }) {
  return (
    <fieldset className="stack">
      <legend>
        <h2>Because</h2>
      </legend>
      <TextField
        name="words"
        label="What is said to the mechanic"
        hint="One sentence. {item} and {part} name the part."
        defaultValue={form.words}
        maxLength={220}
        rows={3}
      />
      <Field
        name="source"
        label="Source"
        hint="A standard, a book, or: practice of this workshop."
        defaultValue={form.source}
        maxLength={160}
      />
      <SelectField name="strength" label="How strongly" defaultValue={form.strength}>
        <Options choices={CHOICES.strengths} />
      </SelectField>
      {isShipped ? null : (
        <SelectField name="family" label="Group" defaultValue={form.family}>
          <Options choices={CHOICES.families} />
        </SelectField>
      )}
    </fieldset>
  )
}
