package org.cellherd.json;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.api.FuzzedDataProvider;
import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.List;
import org.cellherd.pack.Facts;

/** Any bytes give a value or a problem, never another exception. */
class JsonFuzzTest {

  private static final JsonReader READER = new JsonReader(JsonReader.Limits.MESSAGE);

  @FuzzTest(maxDuration = "60s")
  void anyBytesAreAValueOrAProblem(byte[] bytes) {
    try {
      assertThat(READER.read(bytes)).isNotNull();
    } catch (JsonReader.Problem e) {
      assertThat(e.getMessage()).matches("(?s)line [1-9].*");
    }
  }

  @FuzzTest(maxDuration = "60s")
  void whatIsWrittenIsReadBack(FuzzedDataProvider data) throws JsonReader.Problem {
    String text = data.consumeString(200).replaceAll("\\p{Cs}", "?");
    long whole = data.consumeLong();
    Facts facts = Facts.of().put("t", text).put("n", whole).put("l", List.of(text)).build();

    JsonValue read = READER.read(JsonText.of(facts));

    assertThat(read.text("t")).hasValue(text);
    assertThat(read.whole("n")).hasValue(whole);
  }
}
