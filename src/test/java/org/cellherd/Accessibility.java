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

  private static final String ALL = "{resultTypes:['violations']}";

  /** Its rules about colours but those of a level that nobody asks for. */
  private static final String OF_COLOURS =
      "{resultTypes:['violations'],runOnly:axe.getRules(['cat.color'])"
          + ".filter(r=>!r.tags.includes('wcag2aaa')).map(r=>r.ruleId)}";

  private static final String FOUND =
      "axe.run(document,%s).then(r=>r.violations.map(v=>v.id+': '+v.help"
          + "+' '+v.nodes.slice(0,4).map(n=>n.target.join(' ')+' '+n.failureSummary.slice(0,160))"
          + ".join(' | ')).join('\\n'))";

  /** Text, place and visibility of everything. */
  private static final String LAID_OUT =
      """
      document.documentElement.outerHTML + [...document.querySelectorAll('*')].map((node) => {
        const { x, y, width, height } = node.getBoundingClientRect();
        const { visibility, opacity, overflow, clip } = getComputedStyle(node);
        return [x, y, width, height, visibility, opacity, overflow, clip].join(' ');
      }).join()
      """;

  private Accessibility() {}

  /** Nothing is wrong with what a tab shows. */
  public static void holds(BrowserTab tab) {
    holds(tab, ALL);
  }

  /**
   * Nothing is wrong with what a tab shows, and every text stands out, in the light and in the
   * dark. Where only colours differ, rules about anything else see what they saw, and are left out.
   *
   * @param look is called first in each theme
   */
  public static void holdsInBothThemes(BrowserTab tab, Runnable look) {
    String light = "";
    for (boolean isDark : new boolean[] {false, true}) {
      tab.dark(isDark);
      look.run();
      String laidOut = tab.text(LAID_OUT);
      holds(tab, laidOut.equals(light) ? OF_COLOURS : ALL);
      Contrast.suffices(tab);
      light = laidOut;
    }
  }

  private static void holds(BrowserTab tab, String rules) {
    if (!tab.is("window.axe")) {
      tab.evaluate(Engine.SCRIPT + ";'ready'");
    }
    assertThat(tab.evaluate(FOUND.formatted(rules)))
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
