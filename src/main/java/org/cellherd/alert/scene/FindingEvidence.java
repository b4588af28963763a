package org.cellherd.alert.scene;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.analysis.engine.PackView;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;

/** Looks into the facts of findings; what is absent is simply not there. */
public final class FindingEvidence {

  private FindingEvidence() {}

  /** The standing finding of a name. */
  public static Optional<Finding> standing(PackView view, FindingName name) {
    return view.standing().stream().filter(f -> f.name() == name).findFirst();
  }

  /** The standing result of a kind. */
  public static <R extends Result> Optional<R> standing(PackView view, Class<R> kind) {
    return view.standing().stream().flatMap(f -> f.result(kind).stream()).findFirst();
  }

  /** The facts in a list of that key. */
  public static List<Facts> list(Facts facts, String key) {
    return items(facts, key, Facts.class);
  }

  private static <T> List<T> items(Facts facts, String key, Class<T> type) {
    return facts.get(key).orElse("") instanceof List<?> items
        ? items.stream().filter(type::isInstance).<T>map(type::cast).toList()
        : List.of();
  }

  /** All facts in any list that name a cell. */
  public static List<Facts> ofCells(Facts facts) {
    List<Facts> found = new ArrayList<>();
    for (Fact fact : facts.list()) {
      list(facts, fact.name()).stream()
          .filter(f -> f.number("cell").isPresent())
          .forEach(found::add);
    }
    return found;
  }

  /** The item whose number is greatest; no facts when there is none. */
  public static Facts greatest(Facts facts, String key, String number) {
    Facts best = Facts.NONE;
    for (Facts item : list(facts, key)) {
      double value = item.number(number).orElse(Double.NEGATIVE_INFINITY);
      if (value > best.number(number).orElse(Double.NEGATIVE_INFINITY)) {
        best = item;
      }
    }
    return best;
  }

  /** The leads that a finding tells. */
  public static List<Lead> leads(Facts facts) {
    List<Lead> leads = new ArrayList<>();
    for (Facts item : list(facts, "lead")) {
      double low = item.number("low_ah").orElse(Double.NaN);
      double mid = item.number("mid_ah").orElse(Double.NaN);
      double high = item.number("high_ah").orElse(Double.NaN);
      if (low <= mid && mid <= high) {
        int cell = (int) item.number("cell").orElse(0);
        leads.add(new Lead(cell, new Interval(low, mid, high)));
      }
    }
    return leads;
  }

  /** The whole numbers in a list of that key. */
  public static List<Integer> numbers(Facts facts, String key) {
    return items(facts, key, Number.class).stream().map(Number::intValue).toList();
  }
}
