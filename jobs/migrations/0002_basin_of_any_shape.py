"""Every shape is kept in one field; the rectangle's columns move into it."""

import django.core.validators
from django.db import migrations, models
from django.db.models import Q

RECTANGLE = (
    "length_m",
    "width_m",
    "shallow_depth_m",
    "deep_depth_m",
    "shallow_length_m",
    "slope_length_m",
    "deep_length_m",
    "back_slope_length_m",
    "side_slope_width_m",
)


def columns_into_form(apps, schema_editor):
    for row in apps.get_model("jobs", "Basin").objects.all():
        row.form = {name: getattr(row, name) for name in RECTANGLE}
        row.save(update_fields=["form"])


class Migration(migrations.Migration):
    dependencies = [("jobs", "0001_initial")]

    operations = [
        migrations.AlterModelOptions(name="basin", options={"verbose_name_plural": "basins"}),
        migrations.RemoveConstraint(model_name="basin", name="basin_has_size"),
        migrations.RemoveConstraint(model_name="basin", name="basin_deep_not_above_shallow"),
        migrations.AddField(model_name="basin", name="form", field=models.JSONField(default=dict), preserve_default=False),
        migrations.RunPython(columns_into_form, elidable=True),
        *(migrations.RemoveField(model_name="basin", name=name) for name in RECTANGLE),
        migrations.AlterField(
            model_name="basin",
            name="freeboard_m",
            field=models.FloatField(validators=[django.core.validators.MinValueValidator(0)]),
        ),
        migrations.AlterField(
            model_name="basin",
            name="shape",
            field=models.CharField(
                choices=[
                    ("rectangle", "rectangle"),
                    ("parts", "rectangles joined"),
                    ("stations", "measured at stations"),
                    ("ellipse", "oval or round"),
                    ("stadium", "round ends"),
                    ("kidney", "kidney"),
                ],
                default="rectangle",
                max_length=16,
            ),
        ),
        migrations.AddConstraint(
            model_name="basin",
            constraint=models.CheckConstraint(condition=Q(freeboard_m__gte=0), name="basin_coping_not_under_water"),
        ),
        migrations.AddConstraint(
            model_name="basin",
            constraint=models.CheckConstraint(condition=~Q(form={}), name="basin_has_a_form"),
        ),
    ]
