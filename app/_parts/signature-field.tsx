import { Field } from '@/app/_server/field.tsx'

/** The person who is signed in gives the PIN or password once more: that is the signature under a release to work. */
export function SignatureField() {
  return (
    <Field
      name="secret"
      type="password"
      label="Your PIN or password, to release it to work"
      hint="The machine is marked unsafe. Your name goes into the record as who released it."
      autoComplete="current-password"
      className="input-number"
    />
  )
}
