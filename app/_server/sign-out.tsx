import { leave } from '../sign-in/actions.ts'

/** The button in the frame of every page. */
export function SignOut() {
  return (
    <form action={leave}>
      <button type="submit" className="button quiet">
        Sign out
      </button>
    </form>
  )
}
