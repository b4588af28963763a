package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaModifier;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import java.nio.file.Path;
import java.util.List;
import java.util.function.Predicate;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** Which types are public, counted over the compiled classes of program and tests. */
class PublicTypesTest {
  private static final String ROOT = "org.cellherd.";

  /** What there was on 2026-11-30. A new one takes the place of an old one. */
  private static final int MOST_PUBLIC = 398;

  /** Public only because Java knows no walls around a package with its sub-packages. */
  private static final int MOST_FOR_NEIGHBOURS_ONLY = 108;

  /**
   * Named from outside where compiled classes do not show it: the build and scripts start two of
   * them; of the other a constant is all that is used.
   */
  private static final List<String> UNSEEN =
      List.of("app.ExitCode", "app.verb.HelpFiles", "app.verb.Main");

  private static List<JavaClass> open = List.of();

  @BeforeAll
  static void read() {
    Path main = Path.of("target/classes");
    open =
        new ClassFileImporter()
            .importPaths(main, Path.of("target/test-classes")).stream()
                .filter(type -> isOf(type, main))
                .filter(type -> type.getModifiers().contains(JavaModifier.PUBLIC))
                .filter(JavaClass::isTopLevelClass)
                .toList();
  }

  private static boolean isOf(JavaClass type, Path folder) {
    return type.getSource().orElseThrow().getUri().getPath().contains("/" + folder + "/");
  }

  @Test
  void aTypeIsPublicOnlyWhereAnotherPackageNamesIt() {
    assertThat(
            open.stream()
                .filter(type -> !isNamedFrom(type, user -> !samePackage(user, type)))
                .map(type -> type.getName().substring(ROOT.length())))
        .containsExactlyInAnyOrderElementsOf(UNSEEN);
  }

  @Test
  void publicTypesDoNotGrowInNumber() {
    long inside =
        open.stream().filter(type -> !isNamedFrom(type, user -> !sameTop(user, type))).count();
    System.out.printf(
        "%d public types, %d of them for their own top package only%n", open.size(), inside);

    assertThat(open.size()).isLessThanOrEqualTo(MOST_PUBLIC);
    assertThat(inside).isLessThanOrEqualTo(MOST_FOR_NEIGHBOURS_ONLY);
  }

  private static boolean isNamedFrom(JavaClass type, Predicate<JavaClass> from) {
    return type.getDirectDependenciesToSelf().stream()
        .map(dependency -> dependency.getOriginClass())
        .anyMatch(from);
  }

  private static boolean samePackage(JavaClass a, JavaClass b) {
    return a.getPackageName().equals(b.getPackageName());
  }

  private static boolean sameTop(JavaClass a, JavaClass b) {
    return top(a).equals(top(b));
  }

  private static String top(JavaClass type) {
    String name = type.getPackageName();
    return name.startsWith(ROOT) ? name.substring(ROOT.length()).split("\\.")[0] : "";
  }
}
