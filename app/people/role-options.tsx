import { ROLE_SENTENCES, ROLES } from '@/lib/people/role.ts'

/** The roles as boxes to tick, with what each one does. */
export const ROLE_OPTIONS = ROLES.map((role) => ({
  value: role,
  label: (
    <>
      <span className="strong">{role}</span> {ROLE_SENTENCES[role]}
    </>
  ),
}))
