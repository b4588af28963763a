package org.cellherd.alert.input;

import java.util.Optional;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Result;
import org.cellherd.analysis.engine.PackView;

/** Looks into what the analyses have found. */
public final class FindingEvidence {

  private FindingEvidence() {}

  /** The standing result of a name. */
  public static <R extends Result> Optional<R> standing(
      PackView view, FindingName name, Class<R> kind) {
    return view.standing(name).flatMap(f -> f.result(kind));
  }
}
