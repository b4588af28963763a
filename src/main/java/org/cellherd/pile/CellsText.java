package org.cellherd.pile;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.cellherd.pack.PackPlan;
import org.cellherd.pile.CellsColumn.Kind;
import org.cellherd.pile.RigResults.Measured;

/**
 * A cells file with more measurements in it: what its owner wrote stays as it is, new columns stand
 * behind, and units that it does not name have new lines.
 */
public final class CellsText {

  private final PackPlan plan;
  private final Map<String, Measured> units;
  private final List<CellsColumn> added = new ArrayList<>();
  private final Set<String> known = new HashSet<>();
  private final List<String> lines = new ArrayList<>();
  private List<Optional<CellsColumn>> columns = List.of();
  private char separator = ',';

  private CellsText(PackPlan plan, Map<String, Measured> units) {
    this.plan = plan;
    this.units = units;
  }

  /**
   * The lines of the new file.
   *
   * @param plan of the rig; tells chemistry and rating of units that the file does not name
   * @param units what was measured
   * @param before lines of a cells file without mistakes; may be empty
   */
  public static List<String> with(PackPlan plan, Map<String, Measured> units, List<String> before) {
    CellsText text = new CellsText(plan, units);
    before.forEach(text::take);
    if (text.columns.isEmpty()) {
      text.take("id,chemistry,rated_ah");
    }
    units.keySet().stream().filter(id -> !text.known.contains(id)).forEach(text::append);
    return text.lines;
  }

  private void take(String line) {
    String clean = line.startsWith("\ufeff") ? line.substring(1) : line;
    if (clean.isBlank() || clean.startsWith("#")) {
      lines.add(line);
      return;
    }
    if (columns.isEmpty()) {
      header(clean);
      return;
    }
    List<String> fields = CsvRow.split(clean, separator);
    int place = columns.indexOf(Optional.of(new CellsColumn(Kind.ID, 0)));
    String id = place < fields.size() ? fields.get(place) : "";
    known.add(id);
    String missing = String.valueOf(separator).repeat(columns.size() - fields.size());
    lines.add(clean + missing + values(id));
  }

  private void header(String line) {
    separator = line.indexOf(';') >= 0 && line.indexOf(',') < 0 ? ';' : ',';
    columns = CsvRow.split(line, separator).stream().map(CellsColumn::of).toList();
    int last =
        columns.stream().flatMap(Optional::stream).mapToInt(CellsColumn::number).max().orElse(0);
    int most = units.values().stream().mapToInt(CellsText::count).max().orElse(0);
    for (int n = last + 1; n <= Math.min(last + most, CellsColumn.MOST); n++) {
      for (Kind kind : Kind.values()) {
        if (kind.isCounted() && isUsed(kind, n - last - 1)) {
          added.add(new CellsColumn(kind, n));
        }
      }
    }
    StringBuilder text = new StringBuilder(line);
    added.forEach(column -> text.append(separator).append(column.name()));
    lines.add(text.toString());
  }

  private static int count(Measured unit) {
    return Math.max(
        unit.rests().size(), Math.max(unit.resistances().size(), unit.capacities().size()));
  }

  private boolean isUsed(Kind kind, int index) {
    return units.values().stream().anyMatch(unit -> !value(unit, kind, index).isEmpty());
  }

  private String values(String id) {
    StringBuilder text = new StringBuilder();
    int first = added.isEmpty() ? 0 : added.get(0).number();
    for (CellsColumn column : added) {
      Measured unit = units.get(id);
      String value = unit == null ? "" : value(unit, column.kind(), column.number() - first);
      text.append(separator).append(separator == ';' ? value.replace('.', ',') : value);
    }
    return text.toString();
  }

  private void append(String id) {
    StringBuilder text = new StringBuilder();
    for (int i = 0; i < columns.size(); i++) {
      text.append(i == 0 ? "" : separator).append(columns.get(i).map(c -> fixed(c, id)).orElse(""));
    }
    lines.add(text + values(id));
  }

  private String fixed(CellsColumn column, String id) {
    return switch (column.kind()) {
      case ID -> id;
      case CHEMISTRY -> plan.chemistry().word();
      case RATED_AH -> number(plan.ratedAh(), 3);
      default -> "";
    };
  }

  private static String value(Measured unit, Kind kind, int i) {
    return switch (kind) {
      case REST_V -> of(unit.rests(), i).map(r -> number(r.mv() / 1000, 4)).orElse("");
      case REST_AT -> of(unit.rests(), i).map(r -> time(r.atMs())).orElse("");
      case RES_MOHM -> of(unit.resistances(), i).map(r -> number(r.mohm(), 3)).orElse("");
      case RES_BY -> of(unit.resistances(), i).map(r -> r.method().word()).orElse("");
      case RES_S -> of(unit.resistances(), i).map(r -> number(r.seconds(), 1)).orElse("");
      case RES_C -> of(unit.resistances(), i).map(r -> number(r.celsius())).orElse("");
      case CAP_AH -> of(unit.capacities(), i).map(c -> number(c.ah(), 3)).orElse("");
      case CAP_A -> of(unit.capacities(), i).map(c -> number(c.amperes())).orElse("");
      case CAP_C -> of(unit.capacities(), i).map(c -> number(c.celsius())).orElse("");
      case CAP_TO_V ->
          of(unit.capacities(), i)
              .filter(c -> c.cutOffMv().isPresent())
              .map(c -> number(c.cutOffMv().getAsDouble() / 1000, 3))
              .orElse("");
      case CAP_LEAST -> of(unit.capacities(), i).map(c -> c.isLeast() ? "yes" : "no").orElse("");
      default -> "";
    };
  }

  private static <T> Optional<T> of(List<T> list, int i) {
    return i < list.size() ? Optional.of(list.get(i)) : Optional.empty();
  }

  private static String time(long ms) {
    return Instant.ofEpochMilli(ms).truncatedTo(ChronoUnit.MINUTES).toString();
  }

  private static String number(OptionalDouble value) {
    return value.isPresent() ? number(value.getAsDouble(), 2) : "";
  }

  private static String number(double value, int decimals) {
    BigDecimal rounded = BigDecimal.valueOf(value).setScale(decimals, RoundingMode.HALF_UP);
    return rounded.signum() == 0 ? "0" : rounded.stripTrailingZeros().toPlainString();
  }
}
