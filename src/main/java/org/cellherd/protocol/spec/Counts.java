package org.cellherd.protocol.spec;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.ToLongFunction;
import org.cellherd.pack.Reading;

/**
 * What an encoder must write in the fields that others are counted by.
 *
 * @param fields of a message
 * @param pages how the message comes page by page, if it does
 */
record Counts(List<Field> fields, Optional<Pages> pages) {

  /** By the name of the field that tells it. */
  Map<String, ToLongFunction<Reading>> all() {
    Map<String, ToLongFunction<Reading>> counts = new HashMap<>();
    for (Field field : fields) {
      Field.Repetition repetition = field.repetition();
      if (!repetition.countField().isEmpty()) {
        counts.put(repetition.countField(), r -> count(field, 0, r));
      }
      if (!repetition.upTo().isEmpty()) {
        counts.put(repetition.upTo(), r -> there(field, r));
      }
    }
    pages
        .filter(p -> !p.countField().isEmpty())
        .ifPresent(p -> counts.put(p.countField(), this::pages));
    return counts;
  }

  /** How many of a row's values there are, beginning some numbers after its first. */
  int count(Field field, long shift, Reading reading) {
    long left = there(field, reading) - field.meaning().first() - shift + 1;
    return (int) Math.max(0, Math.min(left, field.repetition().count()));
  }

  /** The number of the last cell or sensor; for other rows what their count always is. */
  private int there(Field field, Reading reading) {
    return switch (field.meaning().target()) {
      case CELL, BLEEDING -> reading.cells().count();
      case TEMPERATURE -> reading.temperatures().count();
      default ->
          Body.named(fields, field.repetition().countField())
              .map(f -> (int) f.meaning().constant().value())
              .orElse(0);
    };
  }

  int pages(Reading reading) {
    Pages all = pages.orElseThrow();
    if (all.countField().isEmpty()) {
      return all.count();
    }
    long needed = 1;
    for (Field field : fields) {
      Optional<Field.PageStep> step = field.repetition().pages();
      if (step.isPresent() && step.get().by() > 0 && field.meaning().target().isNumbered()) {
        long left = there(field, reading) - field.meaning().first() + 1L;
        long by = step.get().by();
        needed = Math.max(needed, step.get().from() - all.first() + (left + by - 1) / by);
      }
    }
    return (int) Math.min(needed, all.count());
  }
}
