package org.cellherd.analysis;

import java.util.Optional;
import org.cellherd.pack.Facts;

/**
 * A result with its evidence.
 *
 * @param fromMs start of the stretch of log it rests on, ms UTC
 * @param toMs its end
 * @param result what was found
 * @param sentence the same for people, plain, one or two sentences
 */
public record Finding(long fromMs, long toMs, Result result, String sentence) {

  public FindingName name() {
    return result.name();
  }

  /** The result as plain data, keys as in the JSON of the verb of the same name. */
  public Facts facts() {
    return result.facts();
  }

  public <R extends Result> Optional<R> result(Class<R> kind) {
    return kind.isInstance(result) ? Optional.of(kind.cast(result)) : Optional.empty();
  }
}
