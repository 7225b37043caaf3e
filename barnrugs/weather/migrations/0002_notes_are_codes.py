from django.db import migrations, models

from barnrugs.weather import notes


def keep_what_was_said(apps, schema_editor):
    for source in apps.get_model("weather", "WeatherSource").objects.exclude(note=""):
        source.notes = [{"code": "said", "text": source.note}]
        source.save(update_fields=["notes"])


def say_in_text(apps, schema_editor):
    for source in apps.get_model("weather", "WeatherSource").objects.all():
        source.note = notes.say(source.notes)
        source.save(update_fields=["note"])


class Migration(migrations.Migration):

    dependencies = [
        ('weather', '0001_typical_years'),
    ]

    operations = [
        migrations.AddField(
            model_name='weathersource',
            name='notes',
            field=models.JSONField(blank=True, default=list, verbose_name='what a reader must know of it'),
        ),
        migrations.RunPython(keep_what_was_said, say_in_text),
        migrations.RemoveField(
            model_name='weathersource',
            name='note',
        ),
    ]
