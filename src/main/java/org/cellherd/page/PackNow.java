package org.cellherd.page;

import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.alert.news.PackState;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * A pack as it is known at one moment. Immutable.
 *
 * @param pack the pack, its plan and settings
 * @param presence whether it is heard
 * @param isStale true when the reading is not of now: never to be shown as if it were
 * @param reading the newest reading
 * @param ageMs how old it is by the monotonic clock; empty when it is from before this run
 * @param summary the sentence and the few numbers that matter
 * @param liveSentence the newest sentence of when the board was heard; empty before any
 * @param readings heard in this run
 * @param stamp differs when anything that is shown does
 */
record PackNow(
    PagePack pack,
    PackState presence,
    boolean isStale,
    Optional<Reading> reading,
    OptionalLong ageMs,
    Facts summary,
    String liveSentence,
    long readings,
    long stamp) {

  /** The builder's plan. */
  public PackPlan plan() {
    return pack.plan();
  }
}
