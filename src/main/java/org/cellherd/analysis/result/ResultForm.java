package org.cellherd.analysis.result;

import java.lang.reflect.Constructor;
import java.lang.reflect.RecordComponent;
import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Result;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;

/**
 * The one way from a record to facts and back: a part's name is its key ({@code restCurrentA} is
 * {@code rest_current_a}), its type and {@link Digits} say how it is written. What is missing in
 * facts of an older version is read as unknown.
 */
public final class ResultForm {
  private static final ClassValue<ResultForm> KNOWN =
      new ClassValue<>() {
        @Override
        protected ResultForm computeValue(Class<?> type) {
          return new ResultForm(type);
        }
      };

  /** Nothing found, to restore into. */
  public static final Finding NONE = finding(FindingName.CAPACITY, 0, 0, Facts.NONE, "");

  private final List<Part> parts;
  private final Constructor<?> maker;

  private ResultForm(Class<?> type) {
    RecordComponent[] components = type.getRecordComponents();
    parts = Arrays.stream(components).map(Part::of).toList();
    try {
      maker =
          type.getDeclaredConstructor(
              Arrays.stream(components).map(RecordComponent::getType).toArray(Class<?>[]::new));
    } catch (NoSuchMethodException never) {
      throw new IllegalStateException(type + " is no record", never);
    }
  }

  static ResultForm of(Class<?> type) {
    return KNOWN.get(type);
  }

  public static Facts facts(Record record) {
    Facts.Builder facts = Facts.of();
    of(record.getClass()).write(record, facts);
    return facts.build();
  }

  /** A finding whose result comes from facts, as stored ones do. */
  public static Finding finding(
      FindingName name, long fromMs, long toMs, Facts facts, String sentence) {
    return new Finding(fromMs, toMs, result(name, facts), sentence);
  }

  /** A finding as part of a state. */
  public static Finding state(Finding now, State io) {
    return finding(
        io.constant(now.name()),
        io.number(now.fromMs()),
        io.number(now.toMs()),
        io.facts(now.facts()),
        io.text(now.sentence()));
  }

  private static Result result(FindingName name, Facts facts) {
    return switch (name) {
      case CAPACITY -> read(CapacityResult.class, facts);
      case REST -> read(RestResult.class, facts);
      case RESISTANCE -> read(ResistanceResult.class, facts);
      case AGEING -> read(AgeingResult.class, facts);
      case FULL_CHARGE -> read(FullChargeResult.class, facts);
      case ENERGY -> read(EnergyResult.class, facts);
      case SOC -> read(SocResult.class, facts);
      case PLAUSIBILITY -> read(PlausibilityResult.class, facts);
      case BALANCE -> read(BalanceResult.class, facts);
    };
  }

  /** A result as it will be read back: rounded, so that a restart or an import changes nothing. */
  public static <R extends Record> R asStored(Class<R> kind, R result) {
    return read(kind, facts(result));
  }

  /** The record of a kind that facts tell of. */
  public static <R extends Record> R read(Class<R> kind, Facts facts) {
    return kind.cast(of(kind).read(facts));
  }

  void write(Object record, Facts.Builder facts) {
    for (Part part : parts) {
      part.write(part.of(record), facts);
    }
  }

  Object read(Facts facts) {
    return Part.made(maker, parts.stream().map(part -> part.read(facts)).toArray());
  }
}
