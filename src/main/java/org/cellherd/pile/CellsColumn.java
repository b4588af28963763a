package org.cellherd.pile;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * A column of a cells file: a fixed name, or one with a number in it that counts the measurements
 * ({@code rest_1_v}, {@code rest_2_v}).
 *
 * @param kind what stands in it
 * @param number which measurement, from 1; 0 for a fixed name
 */
record CellsColumn(Kind kind, int number) {

  /** Most measurements of one kind that a row may hold. */
  static final int MOST = 99;

  /** What a column may hold. A name with # is counted. */
  enum Kind {
    ID("id", "what is written on the unit"),
    DONOR("donor", "the pack it comes from"),
    CHEMISTRY("chemistry", "lfp, nmc, nca, lto or sodium-ion"),
    RATED_AH("rated_ah", "rated capacity of the unit, Ah"),
    SERIES("series", "cells in series in the unit (default: 1)"),
    PARALLEL("parallel", "cells in parallel in the unit (default: 1)"),
    MADE("made", "day of manufacture: 2019-05-31, 2019-05 or 2019"),
    MASS_G("mass_g", "mass of the unit, g"),
    DAMAGE("damage", "swollen, wet, dented, punctured, hot, leaked; several separated by blanks"),
    REMARKS("remarks", "anything else"),
    REST_V("rest_#_v", "voltage at rest, V"),
    REST_AT("rest_#_at", "when: 2026-03-01T18:00, with or without offset, or just the date"),
    RES_MOHM("res_#_mohm", "resistance, milliohm"),
    RES_BY("res_#_by", "ac (1 kHz) or dc (a step of current)"),
    RES_S("res_#_s", "seconds after the step of current (dc)"),
    RES_A("res_#_a", "size of the step, A (dc)"),
    RES_C("res_#_c", "temperature, degC"),
    CAP_AH("cap_#_ah", "capacity, Ah from full to the cut-off"),
    CAP_A("cap_#_a", "current of the test, A"),
    CAP_C("cap_#_c", "temperature, degC"),
    CAP_TO_V("cap_#_to_v", "cut-off voltage of the unit, V"),
    CAP_LEAST("cap_#_least", "yes where the test ended before this unit was empty");

    final String pattern;
    final String words;

    Kind(String pattern, String words) {
      this.pattern = pattern;
      this.words = words;
    }

    boolean isCounted() {
      return pattern.contains("#");
    }
  }

  static Optional<CellsColumn> of(String name) {
    for (Kind kind : Kind.values()) {
      if (!kind.isCounted() && kind.pattern.equals(name)) {
        return Optional.of(new CellsColumn(kind, 0));
      }
      String counted = kind.pattern.replace("#", "([1-9][0-9]?)");
      if (kind.isCounted() && name.matches(counted)) {
        return Optional.of(new CellsColumn(kind, Integer.parseInt(name.replaceAll("[^0-9]", ""))));
      }
    }
    return Optional.empty();
  }

  String name() {
    return kind.pattern.replace("#", Integer.toString(number));
  }

  /** Every name, the counted ones with a 1, for suggestions. */
  static List<String> names() {
    List<String> names = new ArrayList<>();
    for (Kind kind : Kind.values()) {
      names.add(kind.pattern.replace("#", "1"));
    }
    return names;
  }

  /** Names and meanings, for help and manual. */
  static Map<String, String> meanings() {
    Map<String, String> all = new LinkedHashMap<>();
    for (Kind kind : Kind.values()) {
      all.put(kind.pattern, kind.words);
    }
    return all;
  }
}
