package org.cellherd.analysis.result;

import java.util.List;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Result;
import org.cellherd.analysis.SignState;
import org.cellherd.analysis.Suspicion;
import org.cellherd.pack.Facts;

/**
 * What about the readings is not believable.
 *
 * @param suspicions worst first
 * @param currentSign whether charging is really printed positive
 * @param pathMohm between the cells' sum and the terminals; NaN when not known
 */
public record PlausibilityResult(
    List<Suspected> suspicions, SignState currentSign, @Digits(2) double pathMohm)
    implements Result {

  /**
   * One suspicion.
   *
   * @param kind what is in doubt
   * @param cells concerned, from 1
   * @param sinceMs since when, ms UTC
   * @param likelyCause for people
   * @param lookAt what to look at first
   * @param evidence for people; nobody computes with it
   */
  public record Suspected(
      Suspicion.Kind kind,
      List<Integer> cells,
      @Time long sinceMs,
      String likelyCause,
      String lookAt,
      Facts evidence) {}

  public PlausibilityResult {
    suspicions = List.copyOf(suspicions);
  }

  @Override
  public FindingName name() {
    return FindingName.PLAUSIBILITY;
  }

  @Override
  public Facts facts() {
    return ResultForm.facts(this);
  }
}
