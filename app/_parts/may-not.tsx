import { RIGHTS, type Right, rightWhomToAsk } from '@/lib/people/role.ts'

/** In place of a button that a person has no right to: whom to ask. */
export function MayNot({ right }: { right: Right }) {
  return (
    <p className="soft">
      Ask {rightWhomToAsk(right)} to {RIGHTS[right].sentence}.
    </p>
  )
}
