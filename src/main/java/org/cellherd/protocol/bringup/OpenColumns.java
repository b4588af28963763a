package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.cellherd.protocol.bringup.ColumnGuess.Role;
import org.cellherd.protocol.bringup.Structure.Kind;

/** Says what the owner must still settle of a structure's columns, and by what. */
final class OpenColumns {
  private static final int MOST_BYTES = 24;

  private final Structure s;

  OpenColumns(Structure structure) {
    this.s = structure;
  }

  List<String> sentences() {
    List<String> all = new ArrayList<>();
    if (!has(Role.CELLS)) {
      all.add(
          "No row behaves like cells: capture while a load is switched, or give a meter's values"
              + " (--known \"cell 1 = 3.312 V, cell 2 = 3.309 V\").");
      return all;
    }
    open(Role.CELLS)
        .ifPresent(
            place ->
                all.add(
                    "Cells ("
                        + place
                        + "): that cell 1 is the pack's first one, and their unit. A meter on one"
                        + " cell settles both (--known \"cell 1 = 3.312 V\")."));
    all.addAll(current());
    all.addAll(temperatures());
    for (Kind kind : s.kinds()) {
      unexplained(kind).ifPresent(all::add);
    }
    return all;
  }

  private boolean has(Role role) {
    return s.kinds().stream().flatMap(k -> k.guesses().stream()).anyMatch(g -> g.role() == role);
  }

  /** Where columns of a role stand that are not settled. */
  private Optional<String> open(Role role) {
    List<String> places = new ArrayList<>();
    for (Kind kind : s.kinds()) {
      kind.guesses().stream()
          .filter(g -> g.role() == role && !g.isSettled())
          .forEach(g -> places.add(place(kind) + bytes(g)));
    }
    return places.isEmpty() ? Optional.empty() : Optional.of(String.join("; ", places));
  }

  private String place(Kind kind) {
    return s.kinds().size() == 1 ? "" : "message_" + (s.kinds().indexOf(kind) + 1) + ", ";
  }

  private static String bytes(ColumnGuess guess) {
    return guess.end() == guess.at() + 1
        ? "byte " + guess.end()
        : "bytes " + (guess.at() + 1) + "-" + guess.end();
  }

  private List<String> current() {
    if (!has(Role.CURRENT)) {
      return List.of(
          "No column steps with the cells, so the current was not found: capture while a load of"
              + " some amperes is switched on and off, or give a meter's value (--known \"current ="
              + " -4.2 A at 35 s\").");
    }
    return open(Role.CURRENT)
        .map(
            place ->
                List.of(
                    "Current ("
                        + place
                        + "): scale, zero and sign are guessed from what cells usually resist. A"
                        + " clamp meter settles them (--known \"current = -4.2 A at 35 s\")."))
        .orElse(List.of());
  }

  private List<String> temperatures() {
    if (!has(Role.TEMPERATURES)) {
      return List.of(
          "No temperatures were found: warm one sensor by hand while capturing, or give its value"
              + " (--known \"temperature 1 = 23 C\").");
    }
    return open(Role.TEMPERATURES)
        .map(
            place ->
                List.of(
                    "Temperatures ("
                        + place
                        + ") are taken by their range and pace alone. A warm hand on a sensor, or a"
                        + " thermometer, settles them (--known \"temperature 1 = 23 C\")."))
        .orElse(List.of());
  }

  private Optional<String> unexplained(Kind kind) {
    List<Integer> places =
        IntStream.range(s.dataAt(), kind.shortest() - s.trailer())
            .filter(at -> !Structure.isConstant(kind.samples(), at))
            .filter(at -> kind.guesses().stream().noneMatch(g -> g.overlaps(at, at + 1)))
            .map(at -> at + 1)
            .boxed()
            .toList();
    if (places.isEmpty() || kind.guesses().isEmpty()) {
      return Optional.empty();
    }
    List<Integer> shown = places.subList(0, Math.min(MOST_BYTES, places.size()));
    String numbers =
        shown.stream().map(String::valueOf).collect(java.util.stream.Collectors.joining(", "));
    return Optional.of(
        "Not explained, but changing ("
            + (place(kind) + "bytes ")
            + numbers
            + (shown.size() < places.size() ? ", ..." : "")
            + "): state of charge, states, alarms or counts may stand there.");
  }
}
