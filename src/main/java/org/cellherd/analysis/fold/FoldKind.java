package org.cellherd.analysis.fold;

import java.util.Set;
import org.cellherd.analysis.FindingName;

/**
 * Which fold it is, for the states that are saved of it.
 *
 * @param name what it finds, by which its state is found again
 * @param version raised whenever its state or what it makes of the log changes: the log is then
 *     read again for this fold and those that rest on it, the others go on from their states
 * @param restsOn folds whose findings or values it takes in
 */
public record FoldKind(FindingName name, int version, Set<FindingName> restsOn) {

  /** A fold that looks at the log alone. */
  public static FoldKind of(FindingName name, int version) {
    return new FoldKind(name, version, Set.of());
  }
}
