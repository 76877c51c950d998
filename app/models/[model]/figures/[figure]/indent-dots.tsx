/**
 * The dots before a description that printed parts lists set for the parts of a part: none for the parts of the assembly itself,
 * one a level below. For the eye only.
 */
export function IndentDots({ indenture }: { indenture: number }) {
  if (indenture < 2) return null
  return (
    <span aria-hidden="true" className="soft">
      {'·\u00a0'.repeat(indenture - 1)}
    </span>
  )
}
