package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

final class AcceptedTest {

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "application/openmetrics-text | OPEN_METRICS",
        "application/openmetrics-text; version=1.0.0; charset=utf-8 | OPEN_METRICS",
        "application/openmetrics-text;version=1.0.0;q=0.5,text/plain;q=0.4 | OPEN_METRICS",
        "application/openmetrics-text;version=0.0.1,*/*;q=0.1 | OPEN_METRICS",
        "application/openmetrics-text;q=0.3,text/plain;version=0.0.4;q=0.6 | PLAIN",
        "application/openmetrics-text;version=9.0.0 | PLAIN",
        "application/openmetrics-text;q=0 | PLAIN",
        "application/openmetrics-text;q=x | PLAIN",
        "text/html, */* | PLAIN",
        "'' | PLAIN"
      })
  void theFormIsTheOneAskedFor(String accept, Exposition form) {
    assertThat(Accepted.of(accept)).isEqualTo(form);
  }
}
