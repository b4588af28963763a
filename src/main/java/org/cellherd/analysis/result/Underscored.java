package org.cellherd.analysis.result;

import java.util.Locale;

/** Words of constants as they stand in facts: {@code first_cell}. */
final class Underscored {
  private Underscored() {}

  static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT);
  }
}
