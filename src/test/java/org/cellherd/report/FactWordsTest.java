package org.cellherd.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.lang.invoke.MethodType;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Random;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.cellherd.pack.SpokenTime;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Names and values of findings as a report shows them. */
class FactWordsTest {

  /** Abbreviations of programs: nobody says them aloud. */
  private static final String INTERNAL =
      "(?s).*(\\b(soc|mad|sd|src|eta|temp|crate|wh by|pct|mohm|se|low|high|mid|25c|k)\\b|_).*";

  private final FactWords words = new FactWords(new Made(ZoneOffset.UTC, 0, "cellherd"));

  /** Of a result of each kind in which nothing is unknown, however deep it lies. */
  @ParameterizedTest
  @EnumSource
  void noFieldNameOfAFindingReachesPeople(FindingName kind) throws Exception {
    Class<?> type = ResultForm.finding(kind, 0, 0, Facts.NONE, "").result().getClass();
    List<String> names = new ArrayList<>();
    collect(ResultForm.facts((Record) known(type)), names);

    assertThat(names).hasSizeGreaterThanOrEqualTo(type.getRecordComponents().length);
    for (String name : names) {
      assertThat(FactWords.name(name)).as("%s of %s", name, kind).doesNotMatch(INTERNAL);
    }
  }

  @Test
  void aWordOfTheCodeIsSaidInFull() {
    assertThat(words.value("tail")).isEqualTo("the current had faded to its tail");
  }

  /** A date of a finding reads as the dates of the report's own sentences. */
  @Test
  void everyDateHasTheOneForm() {
    Random random = new Random(1);
    for (int i = 0; i < 100; i++) {
      LocalDate day = LocalDate.ofEpochDay(random.nextInt(40_000));
      assertThat(words.value(day.toString())).isEqualTo(SpokenTime.day(day));
    }
  }

  private static void collect(@Nullable Object value, List<String> names) {
    if (value instanceof Facts facts) {
      for (Fact fact : facts.list()) {
        names.add(fact.name());
        collect(fact.value(), names);
      }
    } else if (value instanceof List<?> list) {
      list.forEach(item -> collect(item, names));
    }
  }

  /** A value of a type in which nothing is missing. */
  private static Object known(Type type) throws Exception {
    if (type instanceof ParameterizedType of) {
      Object inside = known(of.getActualTypeArguments()[0]);
      return of.getRawType() == List.class ? List.of(inside) : Optional.of(inside);
    }
    Class<?> plain = (Class<?>) type;
    if (plain == Interval.class) {
      return new Interval(1, 2, 3);
    }
    if (plain.isEnum()) {
      return plain.getEnumConstants()[0];
    }
    if (plain == Facts.class) {
      return Facts.NONE;
    }
    if (!plain.isRecord()) {
      return single(plain);
    }
    RecordComponent[] parts = plain.getRecordComponents();
    Object[] values = new Object[parts.length];
    for (int i = 0; i < parts.length; i++) {
      values[i] = known(parts[i].getGenericType());
    }
    Class<?>[] types = Arrays.stream(parts).map(RecordComponent::getType).toArray(Class<?>[]::new);
    return plain.getDeclaredConstructor(types).newInstance(values);
  }

  private static Object single(Class<?> type) {
    List<Object> some =
        List.of(
            OptionalDouble.of(1), OptionalInt.of(1), OptionalLong.of(1), "text", 1, 1L, 1.0, true);
    return some.stream()
        .filter(one -> MethodType.methodType(type).wrap().returnType().isInstance(one))
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("no value of " + type));
  }
}
