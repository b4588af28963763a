package org.cellherd.alert.scene;

import java.util.Optional;
import org.cellherd.analysis.Result;
import org.cellherd.analysis.engine.PackView;

/** Looks into what the analyses have found. */
public final class FindingEvidence {

  private FindingEvidence() {}

  /** The standing result of a kind. */
  public static <R extends Result> Optional<R> standing(PackView view, Class<R> kind) {
    return view.standing().stream().flatMap(f -> f.result(kind).stream()).findFirst();
  }
}
