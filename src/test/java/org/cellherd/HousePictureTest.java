package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** The picture of the house: which package uses which, read off the compiled classes. */
class HousePictureTest {
  private static final String ROOT = "org.cellherd.";
  private static final Path PICTURE = Path.of(".github/HOUSE.md");

  private static final Map<String, Set<String>> USES = new TreeMap<>();
  private static final Map<String, Set<String>> ROOMS = new TreeMap<>();

  @BeforeAll
  static void look() {
    for (JavaClass type : new ClassFileImporter().importPath("target/classes")) {
      if (!type.getPackageName().startsWith(ROOT)) {
        continue;
      }
      String[] name = type.getPackageName().substring(ROOT.length()).split("\\.", 2);
      Set<String> rooms = ROOMS.computeIfAbsent(name[0], none -> new TreeSet<>());
      if (name.length > 1) {
        rooms.add(name[1]);
      }
      Set<String> uses = USES.computeIfAbsent(name[0], none -> new TreeSet<>());
      type.getDirectDependenciesFromSelf().stream()
          .map(dependency -> dependency.getTargetClass().getBaseComponentType().getPackageName())
          .filter(used -> used.startsWith(ROOT))
          .map(used -> used.substring(ROOT.length()).split("\\.")[0])
          .filter(used -> !used.equals(name[0]))
          .forEach(uses::add);
    }
  }

  /** {@code -Dgolden.update=true} draws it anew. */
  @Test
  void thePictureIsThatOfTheClasses() throws IOException {
    String drawn = drawn();
    if (Boolean.getBoolean("golden.update")) {
      Files.writeString(PICTURE, drawn);
    }
    assertThat(Files.readString(PICTURE))
        .as("draw it anew by -Dgolden.update=true -Dtest=HousePictureTest")
        .isEqualTo(drawn);
  }

  private static String drawn() {
    String arrows =
        USES.entrySet().stream()
            .flatMap(
                user ->
                    user.getValue().stream()
                        .filter(used -> !isThroughAnother(user.getKey(), used))
                        .map(used -> "  " + user.getKey() + " --> " + used + "\n"))
            .collect(Collectors.joining());
    String rooms =
        ROOMS.entrySet().stream()
            .map(each -> "| `" + each.getKey() + "` | " + listed(each.getValue()) + " |\n")
            .collect(Collectors.joining());
    return """
        # The house

        Which package uses which, drawn from the compiled classes by `HousePictureTest` \
        (`-Dgolden.update=true` draws it anew). An arrow that \
        follows from others is left out: `app` uses all. What each is for stands in \
        [DEVELOPERS.md](../DEVELOPERS.md#map).

        ```mermaid
        flowchart TD
        """
        + arrows
        + "```\n\n| package | sub-packages |\n|---|---|\n"
        + rooms;
  }

  private static String listed(Set<String> rooms) {
    return rooms.isEmpty()
        ? "–"
        : rooms.stream().map(room -> "`" + room + "`").collect(Collectors.joining(", "));
  }

  /** True where the used package is reached through another one that is used, too. */
  private static boolean isThroughAnother(String user, String used) {
    return uses(user).stream()
        .filter(other -> !other.equals(used))
        .anyMatch(other -> reaches(other, used));
  }

  private static boolean reaches(String from, String to) {
    return uses(from).contains(to) || uses(from).stream().anyMatch(next -> reaches(next, to));
  }

  private static Set<String> uses(String user) {
    return USES.getOrDefault(user, Set.of());
  }
}
