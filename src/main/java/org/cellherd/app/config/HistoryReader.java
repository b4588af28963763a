package org.cellherd.app.config;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.cellherd.pack.PackPlan.Change;
import org.cellherd.pack.PackPlan.Swap;
import org.cellherd.toml.Suggestion;
import org.cellherd.toml.TomlTable;

/** Reads the {@code [[pack.history]]} tables, and follows which unit is in the pack. */
final class HistoryReader {

  private final Set<String> present = new LinkedHashSet<>();

  /** A pack that was built of units; no unit can be replaced where none is named. */
  HistoryReader(List<List<String>> asBuilt) {
    asBuilt.forEach(present::addAll);
  }

  private record Told(Change change, TomlTable table) {}

  /** The changes, oldest first. */
  List<Change> read(List<TomlTable> tables) {
    List<Told> all = new ArrayList<>();
    for (TomlTable table : tables) {
      all.add(new Told(change(table), table));
    }
    all.sort(Comparator.comparingLong(t -> t.change().atMs()));
    for (Told told : all) {
      told.change().swap().ifPresent(swap -> follow(swap, told.table()));
    }
    return all.stream().map(Told::change).toList();
  }

  private static Change change(TomlTable table) {
    long at = table.timeMs("at");
    Optional<String> out = table.textIfAny("out");
    Optional<String> in = table.textIfAny("in");
    if (out.isPresent() != in.isPresent()) {
      table.problem(
          out.isPresent() ? "in" : "out",
          "is missing: out names the unit that was taken out, in the one that took its place");
    }
    if (out.isEmpty() || in.isEmpty()) {
      return new Change(at, table.text("what"));
    }
    String what = table.text("what", out.get() + " replaced by " + in.get());
    return new Change(at, what, Optional.of(new Swap(out.get(), in.get())));
  }

  private void follow(Swap swap, TomlTable table) {
    if (present.isEmpty()) {
      table.problem("out", "names a unit, but the pack has no cells = [[...]] as it was built");
    } else if (!present.remove(swap.out())) {
      String near = Suggestion.phrase(swap.out(), List.copyOf(present));
      table.problem("out", "\"" + swap.out() + "\" is not in the pack then" + near);
    }
    if (!present.add(swap.in())) {
      table.problem("in", "\"" + swap.in() + "\" is in the pack already");
    }
  }
}
