package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Objects;
import org.cellherd.json.JsonValue;

/** What an engine for accessibility (axe-core, all its rules) finds wrong with a page. */
public final class Accessibility {

  private static final String FOUND =
      "axe.run(document,{resultTypes:['violations']}).then(r=>r.violations.map(v=>v.id+': '+v.help"
          + "+' '+v.nodes.slice(0,4).map(n=>n.target.join(' ')+' '+n.failureSummary.slice(0,160))"
          + ".join(' | ')).join('\\n'))";

  private Accessibility() {}

  /** Nothing is wrong with what a tab shows. */
  public static void holds(BrowserTab tab) {
    tab.evaluate(Engine.SCRIPT + ";'ready'");
    assertThat(tab.evaluate(FOUND))
        .isInstanceOfSatisfying(JsonValue.JsonString.class, f -> assertThat(f.value()).isEmpty());
  }

  /** Read once. */
  private static final class Engine {
    private static final String SCRIPT = read();

    private static String read() {
      try (InputStream in = Accessibility.class.getResourceAsStream("/axe.min.js")) {
        return new String(Objects.requireNonNull(in).readAllBytes(), StandardCharsets.UTF_8);
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }
  }
}
